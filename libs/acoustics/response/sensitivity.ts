import type { Sensitivity } from '../analysis.js';
import { bandMean } from './bandMean.js';

const BAND_HZ = [300, 3000] as const;

/**
 * Mean level on axis from 300 Hz to 3 kHz (common practice, no source), at 2.83 V and 1 m.
 *
 * @param levelDb on axis, as long as `frequencyHz`
 * @returns undefined when the data does not cover the band
 */
export function sensitivity(
  frequencyHz: ArrayLike<number>,
  levelDb: ArrayLike<number>,
): Sensitivity | undefined {
  const db = bandMean(frequencyHz, levelDb, BAND_HZ);
  return db === undefined ? undefined : { db, bandHz: BAND_HZ };
}
