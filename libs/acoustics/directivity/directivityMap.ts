import type { DirectivityMap } from '../analysis.js';
import { angleAt } from '../orbits/angleAt.js';
import type { Directivity } from '../orbits/directivity.js';
import type { Orbit } from '../series.js';

/**
 * The levels of one orbit as rows of rising angle, for maps and comparisons. Only measured angles; where
 * the orbits share their 0 or 180 reading, it stands in both. Levels are rounded to 0.001 dB.
 *
 * @returns undefined when the orbit has no reading off the axis
 */
export function directivityMap(directivity: Directivity, orbit: Orbit): DirectivityMap | undefined {
  const off = directivity.angles.filter(
    (angle) => angle.orbit === orbit && !angle.mirrored && angle.angleDeg !== 0 && angle.angleDeg !== 180,
  );
  if (off.length === 0) return undefined;
  const shared = [0, 180].flatMap((angleDeg) => angleAt(directivity, orbit, angleDeg) ?? []);
  const rows = [...off, ...shared].sort((one, other) => one.angleDeg - other.angleDeg);
  return {
    frequencyHz: Array.from(directivity.frequencyHz),
    angleDeg: rows.map((row) => row.angleDeg),
    levelDb: rows.map((row) => Array.from(row.levelDb, (level) => Math.round(level * 1000) / 1000)),
  };
}
