import type { CurveName, Curves, Finding } from '../analysis.js';
import type { DirectSound } from './fitDirectSound.js';
import { joinCombs } from './joinCombs.js';
import { bellEdgesHz } from './resonances/bellEdgesHz.js';
import { evaluateModel } from './resonances/evaluateModel.js';
import type { Bell } from './resonances/responseModel.js';
import { sizesElsewhere } from './resonances/sizesElsewhere.js';
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
/** Below this, re the rest, the loudspeaker has rolled off and no bell can be told from the slope. */
const ROLLED_OFF_DB = 7;
const COMPARED: readonly CurveName[] = ['listeningWindow', 'earlyReflections', 'soundPower'];

/** How a bell stands in the other curves. */
export interface BellFinding extends Finding {
  readonly kind: 'peak' | 'dip' | 'broad-excess' | 'broad-deficit';
  readonly levelDb: number;
  readonly q: number;
}

/**
 * Peaks, dips and broad departures of the direct sound: the bells of its model.
 *
 * Each is sized in the listening window, early reflections and sound power too. Alike in all: a resonance (or
 * the balance of the whole), which an equaliser can correct. Otherwise it changes with the angle, and no one
 * correction fits all angles. Sorted by frequency.
 */
export function bellFindings(
  frequencyHz: readonly number[],
  curves: Curves,
  direct: DirectSound,
): readonly BellFinding[] {
  const { data, curve, sigmaDb } = direct;
  const bells = soundBells(direct);
  const others = COMPARED.filter((name) => name !== curve && curves[name]);
  const sizes = others.map((name) =>
    sizesElsewhere(data, bells, differenceTo(frequencyHz, curves, direct, name)),
  );
  const leastDb = Math.max(LEAST_DB, LEAST_TOLERANCES * sigmaDb);
  const findings = bells
    .map((bell, k) =>
      bellFinding(
        bell,
        curve,
        others,
        sizes.map((of) => of[k]),
      ),
    )
    .filter(
      ({ kind, levelDb }) =>
        Math.abs(levelDb) >= (isBroad(kind) ? Math.max(LEAST_BROAD_DB, leastDb) : leastDb),
    );
  const salient = findings.toSorted((a, b) => salience(b) - salience(a)).slice(0, MOST_FINDINGS);
  return joinCombs(salient.toSorted((a, b) => a.centreHz - b.centreHz));
}

/** Bells that stand clear of the ends of the data and of the roll-off. */
function soundBells({ data, model }: DirectSound): readonly Bell[] {
  const without = { ...model, bells: [] };
  const lastHz = data.hz[data.hz.length - 1];
  return model.bells.filter(({ centreHz }) => {
    const centre = Float64Array.of(centreHz);
    const rolledOff =
      evaluateModel(without, centre)[0] - evaluateModel({ ...without, rollOffs: [] }, centre)[0];
    return centreHz > data.hz[0] * 1.02 && centreHz < lastHz / 1.02 && rolledOff > -ROLLED_OFF_DB;
  });
}

function differenceTo(
  frequencyHz: readonly number[],
  curves: Curves,
  { data, curve }: DirectSound,
  other: CurveName,
): Float64Array {
  const first = frequencyHz.indexOf(data.hz[0]);
  return data.hz.map((_, i) => (curves[curve]?.[first + i] ?? 0) - (curves[other]?.[first + i] ?? 0));
}

function bellFinding(
  bell: Bell,
  curve: CurveName,
  others: readonly CurveName[],
  sizesDb: readonly number[],
): BellFinding {
  const [fromHz, toHz] = bellEdgesHz(bell);
  const broad = Math.log2(toHz / fromHz) > BROAD_OCTAVES;
  const above = bell.levelDb > 0;
  const alikeDb = Math.max(ALIKE_DB, ALIKE_SHARE * Math.abs(bell.levelDb));
  const isAlike = (sizeDb: number): boolean => Math.abs(sizeDb - bell.levelDb) <= alikeDb;
  const standsIn = [curve, ...others.filter((_, at) => sizesDb[at] / bell.levelDb >= 0.5)];
  const everywhere = others.length === COMPARED.length && sizesDb.every(isAlike);
  const kind = broad ? (above ? 'broad-excess' : 'broad-deficit') : above ? 'peak' : 'dip';
  const sizes = others.map((name, at) => ({
    curve: name,
    levelDb: sizesDb[at],
    alike: isAlike(sizesDb[at]),
  }));
  return {
    kind,
    fromHz,
    toHz,
    centreHz: bell.centreHz,
    levelDb: bell.levelDb,
    q: bell.q,
    curve,
    standsIn,
    correctable: everywhere,
    why: sayBell({ kind, bell, curve, sizes }),
  };
}

function isBroad(kind: BellFinding['kind']): boolean {
  return kind.startsWith('broad');
}

/** What ranks findings when there are too many: the area of the bell over log frequency. */
function salience({ levelDb, fromHz, toHz }: BellFinding): number {
  return Math.abs(levelDb) * Math.sqrt(Math.min(1, Math.log2(toHz / fromHz)));
}
