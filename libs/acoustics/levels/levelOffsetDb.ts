import type { Conditions } from '../series.js';

const REFERENCE_VOLTS = 2.83;
const REFERENCE_DISTANCE_M = 1;

/**
 * What to add to a level read from a file so that it stands for 2.83 V at 1 m: spherical spreading, and a
 * loudspeaker that behaves linearly. A condition not stated is taken as the reference.
 *
 * @param own conditions of the file alone; they win over the set's
 * @returns dB
 * @example levelOffsetDb({ distanceM: 2 }) // 6.0206
 */
export function levelOffsetDb(set: Conditions, own?: Conditions): number {
  const distanceM = own?.distanceM ?? set.distanceM ?? REFERENCE_DISTANCE_M;
  const volts = own?.driveVolts ?? set.driveVolts ?? REFERENCE_VOLTS;
  return 20 * Math.log10(distanceM / REFERENCE_DISTANCE_M) - 20 * Math.log10(volts / REFERENCE_VOLTS);
}
