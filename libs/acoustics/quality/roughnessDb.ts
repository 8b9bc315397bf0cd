import { firstAtOrAbove } from '../grid/firstAtOrAbove.js';

const MOST_SAMPLES = 120;
/** Coarser points are farther apart than a loudspeaker's own features. */
const LEAST_SAMPLES = 16;
/** Median |second difference| of normal deviates of unit variance: 0.6745 sqrt(1.5). */
const NORMAL_MEDIAN = 0.6745 * Math.sqrt(1.5);

/**
 * Standard deviation of what changes from point to point in a stretch of a response: noise. Features of the
 * loudspeaker are wider than the points are apart and cancel in the second difference.
 *
 * @param band Hz
 * @returns dB; undefined where fewer than sixteen points lie in the band
 */
export function roughnessDb(
  frequencyHz: Float64Array,
  levelDb: Float64Array,
  band: readonly [number, number],
): number | undefined {
  const from = Math.max(1, firstAtOrAbove(frequencyHz, band[0]));
  const to = Math.min(frequencyHz.length - 1, firstAtOrAbove(frequencyHz, band[1]));
  if (to - from < LEAST_SAMPLES) return undefined;
  const stride = Math.max(1, Math.floor((to - from) / MOST_SAMPLES));
  const departures: number[] = [];
  for (let at = from; at < to; at += stride) {
    departures.push(Math.abs(levelDb[at] - (levelDb[at - 1] + levelDb[at + 1]) / 2));
  }
  departures.sort((one, other) => one - other);
  return departures[departures.length >> 1] / NORMAL_MEDIAN;
}
