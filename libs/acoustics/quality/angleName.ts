import type { Orbit } from '../series.js';

/** How messages name an angle: `horizontal +30°`. */
export function angleName(orbit: Orbit, angleDeg: number): string {
  const sign = angleDeg > 0 && angleDeg !== 180 ? '+' : '';
  return `${orbit} ${sign}${angleDeg}°`;
}
