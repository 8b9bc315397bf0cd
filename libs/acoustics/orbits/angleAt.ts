import type { Orbit } from '../series.js';
import { angleKey } from './angleKey.js';
import type { Directivity, GridAngle } from './directivity.js';

/**
 * The response at an angle of an orbit. The orbits meet at 0 and 180, so there either one serves: the
 * asked one first, then the other.
 */
export function angleAt(directivity: Directivity, orbit: Orbit, angleDeg: number): GridAngle | undefined {
  const own = directivity.byKey.get(angleKey(orbit, angleDeg));
  if (own !== undefined || (angleDeg !== 0 && angleDeg !== 180)) return own;
  const other: Orbit = orbit === 'horizontal' ? 'vertical' : 'horizontal';
  return directivity.byKey.get(angleKey(other, angleDeg));
}
