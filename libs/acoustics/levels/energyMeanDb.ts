import { meanOf } from './meanOf.js';
import { pressureSquared } from './pressureSquared.js';
import { toDecibels } from './toDecibels.js';

/**
 * The energy mean of several curves: mean of p squared at each frequency, never the mean of decibels
 * (ANSI/CTA-2034-A).
 *
 * @param levelsDb curves in dB SPL, at least one, all of one length
 * @returns dB SPL; between the lowest and the highest curve at each point
 * @example energyMeanDb([Float64Array.of(80), Float64Array.of(90)]) // [87.40...]
 */
export function energyMeanDb(levelsDb: readonly Float64Array[]): Float64Array {
  return toDecibels(meanOf(levelsDb.map((levelDb) => pressureSquared(levelDb))));
}
