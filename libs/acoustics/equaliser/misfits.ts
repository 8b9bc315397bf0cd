import type { CorrectionTarget } from './correctionTarget.js';
import { removeMean } from './removeMean.js';

/** How much a misfit above what is allowed weighs against one elsewhere. */
export const FORBIDDEN_WEIGHT = 6;

/**
 * Fills `residual` (twice as long as the grid): in its first half the gain less what is wanted, in its second what
 * exceeds the highest gain, weighted.
 *
 * Where a slope is taken back the level of the whole is free: the mean misfit is left out (variable projection).
 *
 * @param singles response of each filter, dB
 * @returns 1 where the highest gain is exceeded
 */
export function misfits(
  { wantedDb, highestDb, levelIsFree }: CorrectionTarget,
  singles: readonly Float64Array[],
  residual: Float64Array,
): Uint8Array {
  const points = wantedDb.length;
  const over = new Uint8Array(points);
  for (let i = 0; i < points; i++) {
    let gain = 0;
    for (const single of singles) gain += single[i];
    residual[i] = gain - wantedDb[i];
    over[i] = gain > highestDb[i] ? 1 : 0;
    residual[points + i] = over[i] * FORBIDDEN_WEIGHT * (gain - highestDb[i]);
  }
  if (levelIsFree) removeMean(residual.subarray(0, points));
  return over;
}
