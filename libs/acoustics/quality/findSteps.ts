import { median } from './median.js';
import { NEIGHBOUR_WEIGHTS, ringResidual } from './ringResidual.js';
import { robustSpread } from './robustSpread.js';

/** A run of readings that stand above (or below) the others by the same amount in all bands. */
export interface LevelStep {
  /** Indices into the ring, in turning order. */
  readonly members: readonly number[];
  readonly stepDb: number;
}

/** Readings this far under the loudest of their band lie near a null, where levels jump by nature. */
const NEAR_NULL_DB = 14;
const LEAST_BANDS = 5;
const LEAST_STEP_DB = 0.7;
/** A run has many places to be by chance: it must be larger than a single file's step. */
const LEAST_RUN_DB = 1.3;
/** Two lone faults look like the ends of a run and are explained 1.2 to 1.7 times as well by it; a true run 2.3. */
const RUN_EXPLAINS = 2;
/** A step stands this far out of the usual unevenness from reading to reading. */
const SIGNIFICANCE = 4;
const MOST_STEPS = 6;
/** From this length on a run's two ends don't overlap: each must show its share of the step. */
const EDGES_APART = 4;
const EDGE_SHARE = 0.6;

/**
 * Finds level steps around an orbit: runs whose levels, in every low band alike, don't continue their
 * neighbours'. Directivity bends smoothly from angle to angle and differs from band to band; a changed gain
 * does neither.
 *
 * Every run up to half the ring is tried; the one that smooths the ring most is taken, removed, and the
 * search repeated.
 *
 * @param levelsDb one array per band, each with one level per reading in turning order
 * @param closed whether the ring closes
 */
export function findSteps(levelsDb: readonly (readonly number[])[], closed: boolean): LevelStep[] {
  const count = levelsDb[0]?.length ?? 0;
  if (count < 7 || levelsDb.length < LEAST_BANDS) return [];
  const valid = levelsDb.map((band) => band.map((level) => level > Math.max(...band) - NEAR_NULL_DB));
  let levels = levelsDb.map((band) => [...band]);
  const steps: LevelStep[] = [];
  while (steps.length < MOST_STEPS) {
    const residuals = levels.map((band, at) => ringResidual(band, valid[at], closed));
    const step = smoothestStep(residuals, count, closed);
    if (step === undefined) break;
    steps.push(step);
    const members = new Set(step.members);
    levels = levels.map((band) => band.map((level, at) => (members.has(at) ? level - step.stepDb : level)));
  }
  return steps;
}

type Residuals = readonly (readonly (number | undefined)[])[];

function smoothestStep(residuals: Residuals, count: number, closed: boolean): LevelStep | undefined {
  const unevenness = usualUnevenness(residuals, count);
  let best: LevelStep | undefined;
  let bestGain = 0;
  // Single files first: a run must explain much more than the best of them.
  for (let length = 1; length <= count / 2; length += 1) {
    if (length === 2) bestGain *= RUN_EXPLAINS;
    const starts = closed ? count : count - length + 1;
    for (let start = 0; start < starts; start += 1) {
      const fit = fitRun(residuals, count, closed, start, length);
      if (fit === undefined || fit.gain <= bestGain) continue;
      const least = Math.max(length === 1 ? LEAST_STEP_DB : LEAST_RUN_DB, SIGNIFICANCE * unevenness);
      if (Math.abs(fit.stepDb) < least) continue;
      bestGain = fit.gain;
      best = { members: Array.from({ length }, (_, k) => (start + k) % count), stepDb: fit.stepDb };
    }
  }
  return best;
}

/** Typical departure of a reading, all bands together. */
function usualUnevenness(residuals: Residuals, count: number): number {
  const perReading: number[] = [];
  for (let at = 0; at < count; at += 1) {
    const known = residuals.flatMap((band) => band[at] ?? []);
    if (known.length >= LEAST_BANDS) perReading.push(Math.abs(median(known)));
  }
  return perReading.length === 0 ? Infinity : 1.4826 * median(perReading);
}

/** Least-squares step of one run in every band; agreed on by the bands and by both ends, or undefined. */
function fitRun(
  residuals: Residuals,
  count: number,
  closed: boolean,
  start: number,
  length: number,
): { stepDb: number; gain: number } | undefined {
  const whole = fitShape(residuals, runShape(count, closed, start, length));
  if (whole === undefined || length < EDGES_APART) return whole;
  const edges = [start, start + length].map((edge) => fitShape(residuals, edgeShape(count, closed, edge)));
  const [rise, fall] = [edges[0]?.stepDb ?? 0, -(edges[1]?.stepDb ?? 0)];
  const expected = EDGE_SHARE * Math.abs(whole.stepDb);
  const sign = Math.sign(whole.stepDb);
  return sign * rise >= expected && sign * fall >= expected ? whole : undefined;
}

function fitShape(
  residuals: Residuals,
  shape: readonly Weighted[],
): { stepDb: number; gain: number } | undefined {
  const full = shape.reduce((sum, [, weight]) => sum + weight * weight, 0);
  const steps: number[] = [];
  let gain = 0;
  for (const band of residuals) {
    let product = 0;
    let size = 0;
    for (const [at, weight] of shape) {
      const residual = band[at];
      if (residual === undefined) continue;
      product += residual * weight;
      size += weight * weight;
    }
    // Beyond an open end and near a null there is nothing to know; half the shape must be left.
    if (size < full / 2) continue;
    steps.push(product / size);
    gain += (product * product) / size;
  }
  if (steps.length < LEAST_BANDS) return undefined;
  const stepDb = median(steps);
  if (robustSpread(steps) > Math.max(0.25, 0.35 * Math.abs(stepDb))) return undefined;
  return { stepDb, gain };
}

/** A place in the ring and what a unit step leaves there. */
type Weighted = readonly [number, number];

/** What one step, up from `edge` on, leaves in the residual. */
function edgeShape(count: number, closed: boolean, edge: number): Weighted[] {
  return [-2, -1, 0, 1].flatMap((k): Weighted[] => {
    const at = edge + k;
    if (!closed && (at < 0 || at >= count)) return [];
    let weight = 0;
    for (let j = -2; j <= 2; j += 1) if (k + j >= 0) weight += NEIGHBOUR_WEIGHTS[j + 2];
    return [[(at + count) % count, weight]];
  });
}

/** What a unit step over the run leaves in the residual: index and weight, where not zero. */
function runShape(count: number, closed: boolean, start: number, length: number): Weighted[] {
  const inRun = (at: number): boolean => {
    const offset = closed ? (at - start + 2 * count) % count : at - start;
    return offset >= 0 && offset < length;
  };
  const shape: Weighted[] = [];
  for (let k = -2; k < length + 2; k += 1) {
    if (k >= 2 && k < length - 2) continue;
    const at = start + k;
    if (!closed && (at < 0 || at >= count)) continue;
    let weight = 0;
    for (let j = -2; j <= 2; j += 1) if (inRun(at + j)) weight += NEIGHBOUR_WEIGHTS[j + 2];
    if (Math.abs(weight) > 1e-12) shape.push([(at + count) % count, weight]);
  }
  return shape;
}
