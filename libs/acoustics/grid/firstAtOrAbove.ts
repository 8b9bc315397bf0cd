/**
 * Index of the first frequency at or above a value, by halving.
 *
 * @param frequencyHz rising
 * @returns the array's length when all lie below
 */
export function firstAtOrAbove(frequencyHz: ArrayLike<number>, hz: number): number {
  let low = 0;
  let high = frequencyHz.length;
  while (low < high) {
    const middle = (low + high) >> 1;
    if (frequencyHz[middle] < hz) low = middle + 1;
    else high = middle;
  }
  return low;
}
