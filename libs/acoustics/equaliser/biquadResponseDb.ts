import type { BiquadFilter } from '../analysis.js';
import { addBiquadDb } from './addBiquadDb.js';
import { halfAngleSquares } from './halfAngleSquares.js';

/**
 * Magnitude of filters one after another, dB.
 *
 * @param frequencyHz beyond half of `sampleRateHz` the value there is held
 * @returns as long as `frequencyHz`
 */
export function biquadResponseDb(
  filters: readonly BiquadFilter[],
  frequencyHz: ArrayLike<number>,
  sampleRateHz: number,
): Float64Array {
  const halfAngles = halfAngleSquares(frequencyHz, sampleRateHz);
  const sum = new Float64Array(frequencyHz.length);
  for (const filter of filters) addBiquadDb(filter, halfAngles, sum);
  return sum;
}
