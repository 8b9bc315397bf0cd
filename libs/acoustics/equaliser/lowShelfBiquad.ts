import type { BiquadFilter } from '../analysis.js';
import { cornerOf } from './cornerOf.js';
import { normalisedBiquad } from './normalisedBiquad.js';

/**
 * Low shelf of the RBJ Audio EQ Cookbook (W3C Note, 8 June 2021), coefficients divided by a0.
 *
 * @param frequencyHz where half of the gain (in dB) is reached, below half of `sampleRateHz`
 * @param gainDb towards 0 Hz
 * @throws RangeError for values no filter can have
 */
export function lowShelfBiquad(
  frequencyHz: number,
  gainDb: number,
  q: number,
  sampleRateHz: number,
): BiquadFilter {
  const { amplitude: A, cosine, alpha } = cornerOf(frequencyHz, gainDb, q, sampleRateHz);
  const slope = 2 * Math.sqrt(A) * alpha;
  const coefficients = normalisedBiquad(
    [
      A * (A + 1 - (A - 1) * cosine + slope),
      2 * A * (A - 1 - (A + 1) * cosine),
      A * (A + 1 - (A - 1) * cosine - slope),
    ],
    [A + 1 + (A - 1) * cosine + slope, -2 * (A - 1 + (A + 1) * cosine), A + 1 + (A - 1) * cosine - slope],
  );
  return { type: 'low-shelf', frequencyHz, gainDb, q, ...coefficients };
}
