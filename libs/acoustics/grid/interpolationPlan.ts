/** Where each grid point lies between two points of the data; made once per frequency column, used for many. */
export interface InterpolationPlan {
  /** Index of the data point at or below each grid point. */
  readonly index: Int32Array;
  /** 0..1, the way from that data point to the next, in log frequency. */
  readonly fraction: Float64Array;
}

/**
 * Prepares linear interpolation over log frequency.
 *
 * @param sourceHz strictly rising, positive from the first point used on; length >= 1
 * @param gridHz rising
 * @returns one entry per grid point; outside the data the end value is held
 */
export function interpolationPlan(sourceHz: Float64Array, gridHz: Float64Array): InterpolationPlan {
  const index = new Int32Array(gridHz.length);
  const fraction = new Float64Array(gridHz.length);
  const last = sourceHz.length - 1;
  let at = firstPositive(sourceHz);
  for (let g = 0; g < gridHz.length; g += 1) {
    const hz = gridHz[g];
    while (at < last && sourceHz[at + 1] <= hz) at += 1;
    index[g] = Math.min(at, last);
    const low = sourceHz[at];
    if (at < last && hz > low) fraction[g] = Math.log(hz / low) / Math.log(sourceHz[at + 1] / low);
  }
  return { index, fraction };
}

/** A spectrum's first bin may stand at 0 Hz, which has no logarithm. */
function firstPositive(sourceHz: Float64Array): number {
  let at = 0;
  while (at < sourceHz.length - 1 && sourceHz[at] <= 0) at += 1;
  return at;
}
