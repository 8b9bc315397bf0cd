import type { GridAngle } from '../orbits/directivity.js';
import type { QualityFinding } from '../series.js';
import { angleName } from './angleName.js';
import { levelEvidence } from './levelEvidence.js';
import type { QualityContext } from './qualityContext.js';

/** From this share of an orbit's or a set's readings on, sameness is the data's nature and not one slip. */
const SYSTEMATIC_SHARE = 0.5;
const LEAST_SYSTEMATIC = 6;

type Pair = readonly [GridAngle, GridAngle];

/**
 * Two angles with exactly the same numbers: a file copied under another name. Measurements never repeat to
 * the last digit. Where most of the set is so (mirrored or calculated data) one finding says it.
 *
 * The shared 0 and 180 readings of the two orbits may be one file.
 */
export function identicalData({ directivity }: QualityContext): QualityFinding[] {
  if (directivity === undefined) return [];
  const measured = directivity.angles.filter((angle) => !angle.mirrored);
  const pairs = identicalPairs(measured);
  if (pairs.length === 0) return [];
  const involved = new Set(pairs.flat());
  const orbitShares = (['horizontal', 'vertical'] as const).map((orbit) => {
    const off = measured.filter(
      (angle) => angle.orbit === orbit && angle.angleDeg !== 0 && angle.angleDeg !== 180,
    );
    return off.length === 0 ? 0 : off.filter((angle) => involved.has(angle)).length / off.length;
  });
  if (involved.size >= LEAST_SYSTEMATIC && Math.max(...orbitShares) > SYSTEMATIC_SHARE) {
    return [systematic(directivity.frequencyHz, pairs[0], involved.size)];
  }
  return pairs.map((pair) => copied(directivity.frequencyHz, pair));
}

function identicalPairs(angles: readonly GridAngle[]): Pair[] {
  const byNumbers = new Map<string, GridAngle[]>();
  for (const angle of angles) {
    // A few numbers tell most curves apart; the rest is compared in full.
    const { levelDb } = angle.series;
    const print = [levelDb.length, levelDb[0], levelDb[levelDb.length >> 1], levelDb.at(-1)].join();
    byNumbers.set(print, [...(byNumbers.get(print) ?? []), angle]);
  }
  return [...byNumbers.values()].flatMap((group) =>
    group.slice(1).flatMap((later, at): Pair[] => {
      const earlier = group.slice(0, at + 1).find((one) => sameNumbers(one, later) && !isShared(one, later));
      return earlier === undefined ? [] : [[earlier, later]];
    }),
  );
}

function sameNumbers(one: GridAngle, other: GridAngle): boolean {
  const [a, b] = [one.series.levelDb, other.series.levelDb];
  return a.length === b.length && a.every((level, at) => level === b[at]);
}

function isShared(one: GridAngle, other: GridAngle): boolean {
  return one.angleDeg === other.angleDeg && (one.angleDeg === 0 || one.angleDeg === 180);
}

function copied(frequencyHz: Float64Array, [earlier, later]: Pair): QualityFinding {
  const names = [earlier, later].map(({ orbit, angleDeg }) => angleName(orbit, angleDeg));
  return {
    severity: 'blocking',
    code: 'identical-files',
    message: `${names[1]} holds exactly the numbers of ${names[0]}: one is a copy. Find out which, and measure the other.`,
    file: later.series.source.file,
    evidence: levelEvidence('Two angles, one curve', frequencyHz, [earlier, later]),
  };
}

function systematic(frequencyHz: Float64Array, [earlier, later]: Pair, count: number): QualityFinding {
  return {
    severity: 'check',
    code: 'identical-files',
    message: `${count} angles hold exactly the numbers of another angle: the data looks copied from one side to the other, or calculated. If a half was mirrored, leave the copies out and say so with "mirrorHorizontal": true; else measure them.`,
    file: later.series.source.file,
    evidence: levelEvidence('Two angles, one curve', frequencyHz, [earlier, later]),
  };
}
