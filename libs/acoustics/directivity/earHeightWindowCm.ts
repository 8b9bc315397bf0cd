import type { VerticalCoverage } from '../analysis.js';
import { seatOffsetM } from './seatOffsetM.js';

/**
 * The usable vertical window at a seat, in centimetres above and below the reference axis.
 *
 * @returns a direction is left out where the window is open (90 degrees)
 * @example earHeightWindowCm({ up: 10, down: 5 }, 3) // { up: 52.9, down: 26.2 }
 */
export function earHeightWindowCm(
  window: VerticalCoverage['usableWindowDeg'],
  distanceM: number,
): { up?: number; down?: number } {
  const up = seatOffsetM(distanceM, window.up);
  const down = seatOffsetM(distanceM, window.down);
  return { ...(up !== undefined && { up: up * 100 }), ...(down !== undefined && { down: down * 100 }) };
}
