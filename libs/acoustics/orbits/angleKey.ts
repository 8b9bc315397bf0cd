import type { Orbit } from '../series.js';

/** The name an angle of an orbit is found by. */
export function angleKey(orbit: Orbit, angleDeg: number): string {
  return `${orbit} ${angleDeg}`;
}
