import { angleKey } from './angleKey.js';
import type { GridAngle } from './directivity.js';

/**
 * Fills missing horizontal angles from the opposite side, for a cabinet the operator states to be
 * symmetric. Measured angles are never replaced.
 *
 * @returns a new list: the given angles, then the mirrored ones marked as such
 */
export function mirrorHorizontal(angles: readonly GridAngle[]): GridAngle[] {
  const present = new Set(angles.map((angle) => angleKey(angle.orbit, angle.angleDeg)));
  const mirrored = angles
    .filter((angle) => angle.orbit === 'horizontal' && angle.angleDeg !== 0 && angle.angleDeg !== 180)
    .filter((angle) => !present.has(angleKey('horizontal', -angle.angleDeg)))
    .map((angle) => ({ ...angle, angleDeg: -angle.angleDeg, mirrored: true }));
  return [...angles, ...mirrored];
}
