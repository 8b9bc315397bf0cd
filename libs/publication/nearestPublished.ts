/** Which other published units a bundle carries along: those most like its own. */
import type { SourceNeighbour, StoredProfile } from '../store/index.js';

const MOST = 4;
/** Bands both must have; one of the two bass limits is enough. */
const LEAST_SHARED = { responseDb: 12, directivityDb: 12, bassOctaves: 1 } as const;
/** What counts as 1 in each part, as where the archive looks for units alike (the house's own choice, no source). */
const SCALES = { responseDb: 1, directivityDb: 1, bassOctaves: 1 / 3 } as const;
type Part = keyof typeof SCALES;
const parts = Object.keys(SCALES) as Part[];

/** Nearest first; what cannot be compared comes last rather than not at all, since there may be few. */
export function nearestPublished(
  own: StoredProfile | null,
  neighbours: readonly SourceNeighbour[],
): SourceNeighbour[] {
  const far = neighbours.map((unit, index) => ({ unit, index, distance: distanceOf(own, unit.profile) }));
  return far
    .sort((a, b) => a.distance - b.distance || a.index - b.index)
    .slice(0, MOST)
    .map(({ unit }) => unit);
}

/** Root mean square over the parts of the scaled RMS difference in the bands both have. */
export function distanceOf(own: StoredProfile | null, other: StoredProfile): number {
  if (!own) return Number.MAX_VALUE;
  const squares = parts.flatMap((part) => {
    const shared = own[part].flatMap((value, band) => {
      const theirs = other[part][band] ?? null;
      return value === null || theirs === null ? [] : [(value - theirs) ** 2];
    });
    if (shared.length < LEAST_SHARED[part]) return [];
    return [shared.reduce((sum, square) => sum + square, 0) / shared.length / SCALES[part] ** 2];
  });
  if (squares.length === 0) return Number.MAX_VALUE;
  return Math.sqrt(squares.reduce((sum, square) => sum + square, 0) / squares.length);
}
