import { bandMean } from './bandMean.js';

/** A subwoofer's own band; data that reaches the mid-range has the sensitivity instead. */
const SUBWOOFER_BAND_HZ = [40, 100] as const;
const MID_RANGE_HZ = 3000;

/**
 * The level bass limits are measured from where no sensitivity can be: for data that ends below 3 kHz, as a
 * subwoofer's does, the mean level from 40 to 100 Hz (common practice, no source).
 *
 * @returns dB; undefined for data that reaches 3 kHz or does not cover 40-100 Hz
 */
export function bassReferenceDb(
  frequencyHz: ArrayLike<number>,
  levelDb: ArrayLike<number>,
): number | undefined {
  const lastHz = frequencyHz[frequencyHz.length - 1] ?? 0;
  return lastHz >= MID_RANGE_HZ ? undefined : bandMean(frequencyHz, levelDb, SUBWOOFER_BAND_HZ);
}
