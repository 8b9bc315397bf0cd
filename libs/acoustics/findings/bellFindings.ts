import type { CurveName } from '../analysis.js';
import type { DirectSound } from './fitDirectSound.js';
import type { BellFinding } from './bellFinding.js';
import { joinCombs } from './joinCombs.js';
import { extremesOf, type Extreme } from './resonances/extremesOf.js';
import type { SizedShape } from './sizeShapes.js';
import { sayBell } from './words/sayBell.js';

/** Smaller bells are part of the model but not worth a reader's time; common practice, no source. */
const LEAST_DB = 0.6;
const LEAST_BROAD_DB = 1;
/** In a curve full of small irregularities a finding must stand this many tolerances out of it. */
const LEAST_TOLERANCES = 2;
const MOST_FINDINGS = 16;
/** Wider than this at half level, octaves, is balance and not a peak; common practice, no source. */
const BROAD_OCTAVES = 1.5;
/** Two curves hold a bell alike when its sizes differ by less than the larger of these. */
const ALIKE_DB = 0.5;
const ALIKE_SHARE = 0.35;
/** A bell this much larger elsewhere is still the same resonance, partly hidden here. */
const HIDDEN_TIMES = 2;
const CURVES_NEEDED = 3;

/**
 * Peaks, dips and broad departures of the direct sound, sorted by frequency.
 *
 * What stands alike in the listening window, early reflections and sound power is a resonance (or the balance
 * of the whole), which an equaliser can correct. What does not changes with the angle, and no one correction
 * fits all angles.
 */
export function bellFindings(
  shapes: readonly SizedShape[],
  { curve, sigmaDb }: DirectSound,
): readonly BellFinding[] {
  const leastDb = Math.max(LEAST_DB, LEAST_TOLERANCES * sigmaDb);
  const isLarge = ({ kind, levelDb }: BellFinding): boolean =>
    Math.abs(levelDb) >= (kind.startsWith('broad') ? Math.max(LEAST_BROAD_DB, leastDb) : leastDb);
  const salient = shapes
    .flatMap(({ bells, shares }) => extremesOf(bells).map((one) => bellFinding(one, curve, shares)))
    .filter(isLarge)
    .sort((a, b) => salience(b) - salience(a))
    .slice(0, MOST_FINDINGS);
  return joinCombs(salient.sort((a, b) => a.centreHz - b.centreHz));
}

function bellFinding(found: Extreme, curve: CurveName, shares: ReadonlyMap<CurveName, number>): BellFinding {
  const { fromHz, toHz, levelDb } = found;
  const broad = Math.log2(toHz / fromHz) > BROAD_OCTAVES;
  const above = levelDb > 0;
  const kind = broad ? (above ? 'broad-excess' : 'broad-deficit') : above ? 'peak' : 'dip';
  const sizes = [...shares].map(([name, share]) => ({ curve: name, levelDb: share * levelDb }));
  const correctable = standsAlike(
    levelDb,
    sizes.map((size) => size.levelDb),
  );
  return {
    kind,
    ...found,
    curve,
    standsIn: [curve, ...[...shares].filter(([, share]) => share >= 0.5).map(([name]) => name)],
    correctable,
    why: sayBell({ kind, bell: found, curve, sizes, correctable }),
  };
}

/** Nowhere much smaller than here, and as large in each of the others as in the rest of them. */
function standsAlike(levelDb: number, sizesDb: readonly number[]): boolean {
  if (sizesDb.length < CURVES_NEEDED) return false;
  const times = sizesDb.map((sizeDb) => sizeDb / levelDb);
  const least = Math.min(...times);
  const most = Math.max(...times);
  const tolerance = Math.max(ALIKE_DB / Math.abs(levelDb), ALIKE_SHARE);
  return (
    least > 0 &&
    least >= 1 - tolerance &&
    most <= Math.max(HIDDEN_TIMES, 1 + tolerance) &&
    most - least <= tolerance * most
  );
}

/** What ranks findings when there are too many: level and, up to an octave, width. */
function salience({ levelDb, fromHz, toHz }: BellFinding): number {
  return Math.abs(levelDb) * Math.sqrt(Math.min(1, Math.log2(toHz / fromHz)));
}
