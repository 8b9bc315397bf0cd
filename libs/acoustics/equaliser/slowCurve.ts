/** Width of the smoothing, octaves at half weight either side; its reach is three times that. */
const HALF_WIDTH_OCTAVES = 0.5;
const REACH = 3;

/**
 * A curve smoothed over log frequency: local straight lines with Gaussian weights, which keep a roll-off up to
 * the ends.
 *
 * @param frequencyHz rising
 * @param levelDb as long as `frequencyHz`
 */
export function slowCurve(frequencyHz: ArrayLike<number>, levelDb: Float64Array): Float64Array {
  const octaves = Float64Array.from(frequencyHz, Math.log2);
  let first = 0;
  return octaves.map((centre) => {
    let [w, wx, wxx, wy, wxy] = [0, 0, 0, 0, 0];
    while (octaves[first] < centre - REACH * HALF_WIDTH_OCTAVES) first++;
    for (let i = first; i < octaves.length; i++) {
      const x = octaves[i] - centre;
      if (x > REACH * HALF_WIDTH_OCTAVES) break;
      const weight = Math.exp(-Math.LN2 * (x / HALF_WIDTH_OCTAVES) ** 2);
      w += weight;
      wx += weight * x;
      wxx += weight * x * x;
      wy += weight * levelDb[i];
      wxy += weight * x * levelDb[i];
    }
    const determinant = w * wxx - wx * wx;
    return determinant > 1e-9 * w * wxx ? (wxx * wy - wx * wxy) / determinant : wy / w;
  });
}
