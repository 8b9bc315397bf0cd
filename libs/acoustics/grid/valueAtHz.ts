import { firstAtOrAbove } from './firstAtOrAbove.js';

/**
 * One value read off a curve, linear in the value and in log frequency; beyond the ends the end value.
 *
 * @param frequencyHz strictly rising, positive
 * @param values as long as `frequencyHz`, length >= 1
 */
export function valueAtHz(frequencyHz: ArrayLike<number>, values: ArrayLike<number>, hz: number): number {
  const last = frequencyHz.length - 1;
  if (hz <= frequencyHz[0]) return values[0];
  if (hz >= frequencyHz[last]) return values[last];
  const high = firstAtOrAbove(frequencyHz, hz);
  const low = high - 1;
  const share = Math.log(hz / frequencyHz[low]) / Math.log(frequencyHz[high] / frequencyHz[low]);
  return values[low] + share * (values[high] - values[low]);
}
