import type { BiquadFilter } from '../analysis.js';
import { highShelfBiquad } from './highShelfBiquad.js';
import { lowShelfBiquad } from './lowShelfBiquad.js';
import { peakingBiquad } from './peakingBiquad.js';

export type FilterType = BiquadFilter['type'];

const DESIGNS = { peaking: peakingBiquad, 'low-shelf': lowShelfBiquad, 'high-shelf': highShelfBiquad };

/**
 * The RBJ cookbook's filter of the type given.
 *
 * @throws RangeError for values no filter can have
 */
export function biquadOf(
  type: FilterType,
  frequencyHz: number,
  gainDb: number,
  q: number,
  sampleRateHz: number,
): BiquadFilter {
  return DESIGNS[type](frequencyHz, gainDb, q, sampleRateHz);
}
