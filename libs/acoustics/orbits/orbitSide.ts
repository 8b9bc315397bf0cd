import type { Orbit } from '../series.js';
import { angleAt } from './angleAt.js';
import type { Directivity, GridAngle } from './directivity.js';

/**
 * One side of an orbit from the axis outwards: 0, then rising distance from it, up to 180.
 *
 * @param sign +1 right or up, -1 left or down
 * @returns empty when the axis itself is missing
 */
export function orbitSide(directivity: Directivity, orbit: Orbit, sign: 1 | -1): GridAngle[] {
  const axis = angleAt(directivity, orbit, 0);
  if (axis === undefined) return [];
  const off = directivity.angles
    .filter((angle) => angle.orbit === orbit && angle.angleDeg * sign > 0 && angle.angleDeg !== 180)
    .sort((one, other) => Math.abs(one.angleDeg) - Math.abs(other.angleDeg));
  const rear = angleAt(directivity, orbit, 180);
  return rear === undefined ? [axis, ...off] : [axis, ...off, rear];
}
