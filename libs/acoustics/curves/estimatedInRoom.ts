import { weightedSum } from '../levels/weightedSum.js';

/**
 * The response to expect at a listening seat: 12 % listening window, 44 % early reflections, 44 % sound
 * power, summed as energy (ANSI/CTA-2034-A). Good above about 500 Hz; below, the room rules (common
 * practice, no source).
 *
 * All arrays are squared pressures of one length.
 */
export function estimatedInRoom(
  listeningWindow: Float64Array,
  earlyReflections: Float64Array,
  soundPower: Float64Array,
): Float64Array {
  return weightedSum([listeningWindow, earlyReflections, soundPower], [0.12, 0.44, 0.44]);
}
