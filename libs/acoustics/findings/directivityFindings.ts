import type { CurveName, Curves, Finding } from '../analysis.js';
import type { BellFinding } from './bellFinding.js';
import { extremesOf, type Extreme } from './resonances/extremesOf.js';
import { fitResponse } from './resonances/fitResponse.js';
import { groupBells } from './resonances/groupBells.js';
import { responseData } from './resonances/responseData.js';
import { startModel } from './resonances/startModel.js';
import { curveWords } from './words/curveWords.js';
import { sayDb } from './words/sayDb.js';
import { sayHz } from './words/sayHz.js';

/** Below, every index is near zero; above, tweeters beam and break up. Common practice, no source. */
const FROM_HZ = 200;
const TO_HZ = 12_000;
const LEAST_DB = 1;
/** How closely an index is explained: enough for mismatches of 1 dB, too little for ripple. */
const TOLERANCE_DB = 0.25;
const WIDEST_OCTAVES = 2;
/** An index bends by this much as a matter of course: baffle, beaming. */
const BEND_DB = 3;
/** A rise and a fall closer than this are the two sides of one step. */
const STEP_OCTAVES = 1.3;
const SAME_OCTAVES = 1 / 3;
const MOST_FINDINGS = 4;
const INDICES: readonly CurveName[] = ['earlyReflectionsDirectivityIndex', 'soundPowerDirectivityIndex'];

interface Mismatch {
  readonly centreHz: number;
  readonly fromHz: number;
  readonly toHz: number;
  /** Signed height of a hump; of a step, upper side less lower side. */
  readonly levelDb: number;
  readonly form: 'hump' | 'step';
  readonly curve: CurveName;
}

/**
 * Where a directivity index leaves the slow rise it should have: a hump or hollow, or a step, as where one
 * driver hands over to another of a different width.
 *
 * What is only the other side of a peak or dip on axis (`bells`) is left out: it is reported there.
 */
export function directivityFindings(
  frequencyHz: readonly number[],
  curves: Curves,
  bells: readonly BellFinding[],
): readonly Finding[] {
  const [early, power] = INDICES.map((curve) => mismatches(frequencyHz, curves, curve));
  const shared = (one: Mismatch): Mismatch | undefined => power.find((other) => isSame(one, other));
  const all = [
    ...early.map((one) => ({ one, standsIn: shared(one) ? INDICES : [one.curve] })),
    ...power
      .filter((one) => !early.some((other) => isSame(one, other)))
      .map((one) => ({ one, standsIn: [one.curve] })),
  ];
  return all
    .filter(({ one }) => !bells.some((bell) => isItsOtherSide(bell, one)))
    .toSorted((a, b) => Math.abs(b.one.levelDb) - Math.abs(a.one.levelDb))
    .slice(0, MOST_FINDINGS)
    .map(({ one, standsIn }) => asFinding(one, standsIn));
}

function mismatches(frequencyHz: readonly number[], curves: Curves, curve: CurveName): readonly Mismatch[] {
  const index = curves[curve];
  const inBand = frequencyHz.map((_, i) => i).filter((i) => frequencyHz[i] >= FROM_HZ * 0.7);
  const data =
    index &&
    responseData(
      inBand.map((i) => frequencyHz[i]),
      inBand.map((i) => index[i]),
      TO_HZ * 1.4,
      TOLERANCE_DB,
    );
  if (!data) return [];
  const start = startModel(data);
  const { model } = fitResponse(data, {
    ...start,
    rollOffs: [],
    bend: { ...start.bend, expectedDb: BEND_DB },
  });
  const large = groupBells(model.bells)
    .flatMap(extremesOf)
    .filter(({ centreHz }) => centreHz >= FROM_HZ && centreHz <= TO_HZ)
    .filter(
      ({ levelDb, fromHz, toHz }) =>
        Math.abs(levelDb) >= LEAST_DB && Math.log2(toHz / fromHz) <= WIDEST_OCTAVES,
    )
    .sort((a, b) => a.centreHz - b.centreHz);
  return pairSteps(large, curve);
}

function pairSteps(bells: readonly Extreme[], curve: CurveName): readonly Mismatch[] {
  const found: Mismatch[] = [];
  for (let i = 0; i < bells.length; i++) {
    const bell = bells[i];
    const next = bells[i + 1];
    if (next && isStep(bell, next)) {
      const levelDb = next.levelDb - bell.levelDb;
      const centreHz = Math.sqrt(bell.centreHz * next.centreHz);
      found.push({ centreHz, fromHz: bell.centreHz, toHz: next.centreHz, levelDb, form: 'step', curve });
      i++;
    } else {
      const { centreHz, fromHz, toHz, levelDb } = bell;
      found.push({ centreHz, fromHz, toHz, levelDb, form: 'hump', curve });
    }
  }
  return found;
}

function isStep(low: Extreme, high: Extreme): boolean {
  const sizes = [Math.abs(low.levelDb), Math.abs(high.levelDb)];
  const near = Math.log2(high.centreHz / low.centreHz) < STEP_OCTAVES;
  return low.levelDb * high.levelDb < 0 && near && Math.min(...sizes) > 0.4 * Math.max(...sizes);
}

function isSame(a: Mismatch, b: Mismatch): boolean {
  return Math.abs(Math.log2(a.centreHz / b.centreHz)) < SAME_OCTAVES && a.levelDb * b.levelDb > 0;
}

/** An angle-dependent peak on axis raises the index by what it lacks elsewhere; a dip lowers it. */
function isItsOtherSide(bell: BellFinding, { centreHz, levelDb }: Mismatch): boolean {
  if (bell.correctable || bell.levelDb * levelDb < 0) return false;
  const near = Math.abs(Math.log2(bell.centreHz / centreHz)) < SAME_OCTAVES / 2;
  return near && Math.abs(levelDb) < Math.abs(bell.levelDb) * 1.3;
}

function asFinding(one: Mismatch, standsIn: readonly CurveName[]): Finding {
  const { centreHz, fromHz, toHz, levelDb, curve } = one;
  return {
    kind: 'directivity-mismatch',
    centreHz,
    fromHz,
    toHz,
    levelDb,
    curve,
    standsIn,
    correctable: false,
    why: say(one),
  };
}

function say({ form, curve, levelDb, centreHz, fromHz, toHz }: Mismatch): string {
  const index = curveWords(curve);
  const cannot =
    'sound off the axis differs in colour from the direct sound there, and an equaliser moves both alike.';
  if (form === 'hump') {
    const way = levelDb > 0 ? 'stands' : 'dips';
    const side = levelDb > 0 ? 'above' : 'below';
    return `At ${sayHz(centreHz)} ${index} ${way} ${sayDb(levelDb)} ${side} its neighbourhood: ${cannot}`;
  }
  const way = levelDb > 0 ? 'rises' : 'falls';
  return `Between ${sayHz(fromHz)} and ${sayHz(toHz)} ${index} ${way} by ${sayDb(levelDb)}, as where drivers of different width meet: ${cannot}`;
}
