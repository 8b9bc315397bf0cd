/**
 * Point by point sum of weight times array.
 *
 * @param arrays at least one, all of one length
 * @param weights one per array
 */
export function weightedSum(arrays: readonly Float64Array[], weights: readonly number[]): Float64Array {
  const result = new Float64Array(arrays[0].length);
  arrays.forEach((array, at) => {
    const weight = weights[at];
    for (let i = 0; i < result.length; i += 1) result[i] += weight * array[i];
  });
  return result;
}
