import { addBiquadDb } from './addBiquadDb.js';
import { biquadOf } from './biquadOf.js';
import type { FilterPlacement } from './filterPlacement.js';

/** Response of the filter number `filter` of a fit's parameters, dB at each of `halfAngles`. */
export function placedResponseDb(
  placements: readonly FilterPlacement[],
  parameters: ArrayLike<number>,
  filter: number,
  halfAngles: Float64Array,
  sampleRateHz: number,
): Float64Array {
  const at = 3 * filter;
  const hz = Math.exp(parameters[at]);
  const q = Math.exp(parameters[at + 2]);
  const sum = new Float64Array(halfAngles.length);
  addBiquadDb(biquadOf(placements[filter].type, hz, parameters[at + 1], q, sampleRateHz), halfAngles, sum);
  return sum;
}
