import type { BiquadFilter } from '../analysis.js';
import { cornerOf } from './cornerOf.js';
import { normalisedBiquad } from './normalisedBiquad.js';

/**
 * Peaking filter of the RBJ Audio EQ Cookbook (W3C Note, 8 June 2021), coefficients divided by a0.
 *
 * @param frequencyHz centre, below half of `sampleRateHz`
 * @param gainDb at the centre
 * @throws RangeError for values no filter can have
 */
export function peakingBiquad(
  frequencyHz: number,
  gainDb: number,
  q: number,
  sampleRateHz: number,
): BiquadFilter {
  const { amplitude, cosine, alpha } = cornerOf(frequencyHz, gainDb, q, sampleRateHz);
  const coefficients = normalisedBiquad(
    [1 + alpha * amplitude, -2 * cosine, 1 - alpha * amplitude],
    [1 + alpha / amplitude, -2 * cosine, 1 - alpha / amplitude],
  );
  return { type: 'peaking', frequencyHz, gainDb, q, ...coefficients };
}
