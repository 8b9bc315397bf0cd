/** Ends may miss the band's edge by one grid step of 1/28 octave and a little. */
const EDGE_RATIO = 1.03;

/**
 * Mean of a curve's values in a band, each grid point counting once (so, on a log grid, the mean over log
 * frequency).
 *
 * @param frequencyHz rising, evenly spaced in log frequency
 * @returns undefined when the curve does not reach both edges of the band
 */
export function bandMean(
  frequencyHz: ArrayLike<number>,
  values: ArrayLike<number>,
  band: readonly [number, number],
): number | undefined {
  const last = frequencyHz.length - 1;
  if (last < 0 || frequencyHz[0] > band[0] * EDGE_RATIO || frequencyHz[last] * EDGE_RATIO < band[1]) {
    return undefined;
  }
  let sum = 0;
  let count = 0;
  for (let i = 0; i <= last; i += 1) {
    // A hair of tolerance: the grid's own band edges carry rounding.
    if (frequencyHz[i] < band[0] * (1 - 1e-9) || frequencyHz[i] > band[1] * (1 + 1e-9)) continue;
    sum += values[i];
    count += 1;
  }
  return count === 0 ? undefined : sum / count;
}
