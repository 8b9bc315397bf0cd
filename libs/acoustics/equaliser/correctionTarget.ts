import type { Curves, Finding } from '../analysis.js';
import { addShapeDb } from './addShapeDb.js';
import { correctableShape, type CorrectableShape } from './correctableShape.js';
import { isDirectivityFault } from './isDirectivityFault.js';
import { slowCurve } from './slowCurve.js';

/** What the filters are to do. Arrays are as long as `frequencyHz`. */
export interface CorrectionTarget {
  readonly frequencyHz: readonly number[];
  readonly shapes: readonly CorrectableShape[];
  /** Wanted gain, dB. */
  readonly wantedDb: Float64Array;
  /** Highest gain allowed, dB. */
  readonly highestDb: Float64Array;
  /** Whether a slope is to be taken back: then the level of the whole is free. */
  readonly levelIsFree: boolean;
}

/**
 * A fault may be given back what the skirt of a correctable dip beside it takes away, up to this much; without such
 * a dip hardly anything. Common practice, no source.
 */
const GIVEN_BACK_DB = 0.25;
const FAULT_TOLERANCE_DB = 0.05;

/**
 * The opposite of the correctable findings: inside their bands what the curves really do, outside the skirts of
 * their shapes, which fade to nothing. Boosts end at `maximumBoostDb`, and at next to nothing inside
 * directivity faults.
 *
 * @returns undefined when nothing is correctable or no curve to correct exists
 */
export function correctionTarget(
  frequencyHz: readonly number[],
  curves: Curves,
  findings: readonly Finding[],
  maximumBoostDb: number,
): CorrectionTarget | undefined {
  const shapes = findings.map(correctableShape).filter((shape) => shape !== undefined);
  const corrected = correctedCurves(curves);
  if (shapes.length === 0 || corrected.length === 0) return undefined;
  const model = new Float64Array(frequencyHz.length);
  for (const shape of shapes) addShapeDb(shape, frequencyHz, model);
  const measured = departures(frequencyHz, corrected, model);
  const inFault = insideAny(frequencyHz, findings.filter(isDirectivityFault));
  const inFinding = insideAny(frequencyHz, shapes);
  const levelIsFree = shapes.some(({ kind }) => kind === 'slope');
  const highestDb = model.map((db, i) =>
    Math.min(maximumBoostDb, inFault[i] ? highestInFaultDb(db) : Infinity),
  );
  const wantedDb = model.map((db, i) => {
    const wanted = -(inFinding[i] && !inFault[i] ? measured[i] : db);
    // With a free level a lift can also be had by lowering the rest; then only the gain itself is limited.
    return levelIsFree ? wanted : Math.min(wanted, highestDb[i]);
  });
  return {
    frequencyHz,
    shapes,
    wantedDb,
    highestDb,
    levelIsFree,
  };
}

function highestInFaultDb(modelDb: number): number {
  return Math.min(GIVEN_BACK_DB, Math.max(FAULT_TOLERANCE_DB, -modelDb));
}

/** What is heard first and what fills the room; on axis where neither is known. */
function correctedCurves({ onAxis, listeningWindow, estimatedInRoom }: Curves): (readonly number[])[] {
  const both = [listeningWindow, estimatedInRoom].filter((curve) => curve !== undefined);
  return both.length > 0 || !onAxis ? both : [onAxis];
}

/** How far the curves' mean departs from what lies slowly beneath the modelled departures. */
function departures(
  frequencyHz: readonly number[],
  curves: readonly (readonly number[])[],
  model: Float64Array,
): Float64Array {
  const mean = model.map((_, i) => curves.reduce((sum, curve) => sum + curve[i], 0) / curves.length);
  const beneath = slowCurve(
    frequencyHz,
    mean.map((level, i) => level - model[i]),
  );
  return mean.map((level, i) => level - beneath[i]);
}

function insideAny(
  frequencyHz: readonly number[],
  bands: readonly Pick<Finding, 'fromHz' | 'toHz'>[],
): Uint8Array {
  return Uint8Array.from(frequencyHz, (hz) =>
    bands.some(({ fromHz, toHz }) => hz >= fromHz && hz <= toHz) ? 1 : 0,
  );
}
