import type { CurveName, Curves, Finding } from '../analysis.js';
import type { DirectSound } from './fitDirectSound.js';
import { evaluateModel } from './resonances/evaluateModel.js';
import { departures, type Departure } from './departures.js';
import { slopeOf } from './slopeOf.js';
import { curveWords } from './words/curveWords.js';
import { sayDb } from './words/sayDb.js';
import { sayHz } from './words/sayHz.js';

/** Where balance is judged: above the bass alignment, below where tweeters and microphones differ. */
const FROM_HZ = 200;
const TO_HZ = 12_000;
/** Less than these is within what makers choose; common practice, no source. */
const LEAST_TILT_DB_PER_OCTAVE = 0.3;
const LEAST_BROAD_DB = 1;

/**
 * Tilt and broad departures of the direct sound: what is left of its model without bells and roll-offs.
 *
 * A tilt's `levelDb` is the change from the lower to the upper end of its range. Either is correctable when the
 * listening window has it too: it is a matter of balance, and directivity is not asked to change.
 */
export function balanceFindings(
  frequencyHz: readonly number[],
  curves: Curves,
  { curve, data, model }: DirectSound,
): readonly Finding[] {
  const hz = data.hz.filter((f) => f >= FROM_HZ && f <= TO_HZ);
  if (hz.length < 12 || Math.log2(hz[hz.length - 1] / hz[0]) < 3) return [];
  const slow = evaluateModel({ ...model, bells: [], rollOffs: [] }, hz);
  const slope = slopeOf(hz, slow);
  const window = curves.listeningWindow && slopeWithin(frequencyHz, curves.listeningWindow, hz);
  const shared =
    curve === 'onAxis' &&
    window !== undefined &&
    window * slope > 0 &&
    Math.abs(window) > 0.4 * Math.abs(slope);
  const tilt = Math.abs(slope) >= LEAST_TILT_DB_PER_OCTAVE ? [tiltFinding(hz, slope, curve, shared)] : [];
  const broad = departures(hz, slow, LEAST_BROAD_DB)
    .filter((one) => isSeen(one, frequencyHz, curves[curve] ?? []))
    .map((one) => broadFinding(one, curve, curves, frequencyHz));
  return [...tilt, ...broad];
}

/** A slow part that only makes up for the skirts of bells is not there in the curve itself. */
function isSeen(one: Departure, frequencyHz: readonly number[], levelDb: readonly number[]): boolean {
  return meanAbove(frequencyHz, levelDb, [one.fromHz, one.toHz]) / one.levelDb > 0.4;
}

function slopeWithin(frequencyHz: readonly number[], levelDb: readonly number[], hz: Float64Array): number {
  const first = frequencyHz.indexOf(hz[0]);
  return slopeOf(hz, Float64Array.from(levelDb.slice(first, first + hz.length)));
}

function tiltFinding(hz: Float64Array, slope: number, curve: CurveName, shared: boolean): Finding {
  const fromHz = hz[0];
  const toHz = hz[hz.length - 1];
  const levelDb = slope * Math.log2(toHz / fromHz);
  const way = slope > 0 ? 'rises' : 'falls';
  const reason = shared
    ? 'the listening window does the same, so shelves can turn the balance back'
    : 'whether the listening window does the same was not measured or it does not, so it is not proposed for equalising';
  return {
    kind: 'tilt',
    fromHz,
    toHz,
    centreHz: Math.sqrt(fromHz * toHz),
    levelDb,
    curve,
    standsIn: shared ? [curve, 'listeningWindow'] : [curve],
    correctable: shared,
    why: `The response ${place(curve)} ${way} by ${Math.abs(slope).toFixed(2)} dB per octave, ${sayDb(levelDb)} from ${sayHz(fromHz)} to ${sayHz(toHz)}; ${reason}.`,
  };
}

function broadFinding(
  { fromHz, toHz, centreHz, levelDb }: Departure,
  curve: CurveName,
  curves: Curves,
  frequencyHz: readonly number[],
): Finding {
  const window = curves.listeningWindow;
  const there = window && meanAbove(frequencyHz, window, [fromHz, toHz]);
  const shared = curve === 'onAxis' && there !== undefined && there * levelDb > 0;
  const kind = levelDb > 0 ? 'broad-excess' : 'broad-deficit';
  const name = levelDb > 0 ? 'broad excess' : 'broad lack';
  const reason = shared
    ? 'the listening window has it too, so it is balance, and an equaliser can correct it'
    : 'the listening window does not show it, so an equaliser is not proposed';
  return {
    kind,
    fromHz,
    toHz,
    centreHz,
    levelDb,
    q: centreHz / (toHz - fromHz),
    curve,
    standsIn: shared ? [curve, 'listeningWindow'] : [curve],
    correctable: shared,
    why: `A ${name} of ${sayDb(levelDb)} against the straight trend ${place(curve)}, ${sayHz(fromHz)} to ${sayHz(toHz)}; ${reason}.`,
  };
}

/** Mean level in a range less the straight line through the whole, dB. */
function meanAbove(
  frequencyHz: readonly number[],
  levelDb: readonly number[],
  rangeHz: readonly [number, number],
): number {
  const at = frequencyHz.map((_, i) => i).filter((i) => frequencyHz[i] >= FROM_HZ && frequencyHz[i] <= TO_HZ);
  const hz = Float64Array.from(at, (i) => frequencyHz[i]);
  const levels = Float64Array.from(at, (i) => levelDb[i]);
  const slope = slopeOf(hz, levels);
  const centre = levels.reduce((sum, level) => sum + level, 0) / levels.length;
  const middle = hz.reduce((sum, f) => sum + Math.log2(f), 0) / hz.length;
  const above = [...levels].map((level, i) => level - centre - slope * (Math.log2(hz[i]) - middle));
  const inside = above.filter((_, i) => hz[i] >= rangeHz[0] && hz[i] <= rangeHz[1]);
  return inside.reduce((sum, value) => sum + value, 0) / Math.max(1, inside.length);
}

function place(curve: CurveName): string {
  return curve === 'onAxis' ? 'on axis' : `of ${curveWords(curve)}`;
}
