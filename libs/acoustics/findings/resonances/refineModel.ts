import { levenbergMarquardt, type LeastSquaresProblem } from '../../fitting/levenbergMarquardt.js';
import { addBell } from './addBell.js';
import { addHighPass } from './addHighPass.js';
import { addStep } from './addStep.js';
import type { ResponseData, ResponseModel } from './responseModel.js';
import { subtractDrift } from './subtractDrift.js';

/** Weak expectations that only break ties between models that fit alike; common practice, no source. */
const EXPECTED = {
  bellLevelDb: { mean: 0, deviation: 2.5 },
  bellLnQ: { mean: Math.log(2.5), deviation: 1.2 },
  sectionLnQ: { mean: Math.log(0.75), deviation: 0.5 },
  stepLevelDb: { mean: 0, deviation: 4 },
  stepLnSharpness: { mean: Math.log(3), deviation: 0.7 },
} as const;
type Expectation = (typeof EXPECTED)[keyof typeof EXPECTED];

export interface RefinedModel {
  readonly model: ResponseModel;
  /** Sum of squared residuals over sigma, expectations included; dimensionless. */
  readonly cost: number;
}

/**
 * Fits every part of `model` to `data` at once, from where it stands, by Levenberg-Marquardt.
 *
 * Parts are neither added nor taken away and keep their order. Bells keep to Q 0.4..30 and +-20 dB and to the
 * data's range; sections of the high-pass keep to Q 0.35..2.5.
 */
export function refineModel(
  data: ResponseData,
  model: ResponseModel,
  maximumIterations: number,
  line: 'free' | 'held' = 'free',
): RefinedModel {
  const layout = layoutOf(data, model, line);
  const fit = levenbergMarquardt(problemFor(data, model, layout), layout.start, {
    maximumIterations,
    relativeTolerance: 1e-4,
  });
  return { model: unpack(fit.parameters, model), cost: fit.cost };
}

interface Layout {
  readonly start: number[];
  readonly lower: number[];
  readonly upper: number[];
  readonly expectations: { readonly index: number; readonly expectation: Expectation }[];
}

function layoutOf(data: ResponseData, model: ResponseModel, line: 'free' | 'held'): Layout {
  const layout: Layout = { start: [], lower: [], upper: [], expectations: [] };
  const first = Math.log(data.hz[0]);
  const last = Math.log(data.hz[data.hz.length - 1]);
  const put = (value: number, lower: number, upper: number, expectation?: Expectation): void => {
    if (expectation) layout.expectations.push({ index: layout.start.length, expectation });
    layout.start.push(value);
    layout.lower.push(lower);
    layout.upper.push(upper);
  };
  const held = line === 'held';
  put(model.levelDb, held ? model.levelDb : -300, held ? model.levelDb : 300);
  put(model.tiltDbPerOctave, held ? model.tiltDbPerOctave : -12, held ? model.tiltDbPerOctave : 12);
  for (const { cornerHz, q } of model.highPass) {
    put(Math.log(cornerHz), first - 0.7, first + 2.5);
    put(Math.log(q), Math.log(0.35), Math.log(2.5), EXPECTED.sectionLnQ);
  }
  for (const { centreHz, levelDb, sharpness } of model.steps) {
    put(Math.log(centreHz), first, last);
    put(levelDb, -15, 15, EXPECTED.stepLevelDb);
    put(Math.log(sharpness), Math.log(1.5), Math.log(12), EXPECTED.stepLnSharpness);
  }
  for (const { centreHz, levelDb, q } of model.bells) {
    put(Math.log(centreHz), first, last);
    put(levelDb, -20, 20, EXPECTED.bellLevelDb);
    put(Math.log(q), Math.log(0.4), Math.log(30), EXPECTED.bellLnQ);
  }
  return layout;
}

function problemFor(data: ResponseData, model: ResponseModel, layout: Layout): LeastSquaresProblem {
  const points = data.hz.length;
  const rows = points + layout.expectations.length;
  const octaves = data.hz.map((hz) => Math.log2(hz / 1000));
  const evaluate = (parameters: Float64Array, residual: Float64Array, jacobian?: Float64Array): void => {
    for (let i = 0; i < points; i++) {
      residual[i] = parameters[0] + parameters[1] * octaves[i] - data.levelDb[i];
    }
    jacobian?.fill(0);
    if (jacobian) writeLineColumns(octaves, jacobian, rows);
    addParts(data.hz, model, parameters, residual, rows, jacobian);
    weigh(data, residual, rows, jacobian);
    layout.expectations.forEach(({ index, expectation }, k) => {
      residual[points + k] = (parameters[index] - expectation.mean) / expectation.deviation;
      if (jacobian) jacobian[index * rows + points + k] = 1 / expectation.deviation;
    });
  };
  return { residualCount: rows, lower: layout.lower, upper: layout.upper, evaluate };
}

function writeLineColumns(octaves: Float64Array, jacobian: Float64Array, rows: number): void {
  for (let i = 0; i < octaves.length; i++) {
    jacobian[i] = 1;
    jacobian[rows + i] = octaves[i];
  }
}

function addParts(
  hz: Float64Array,
  model: ResponseModel,
  p: Float64Array,
  out: Float64Array,
  rows: number,
  jacobian?: Float64Array,
): void {
  let at = 2;
  for (let k = 0; k < model.highPass.length; k++, at += 2) {
    const columns = jacobian && { jacobian, lnCorner: at * rows, lnQ: (at + 1) * rows };
    addHighPass(hz, { lnCorner: p[at], lnQ: p[at + 1] }, out, columns);
  }
  for (let k = 0; k < model.steps.length; k++, at += 3) {
    const columns = jacobian && {
      jacobian,
      lnCentre: at * rows,
      level: (at + 1) * rows,
      lnSharpness: (at + 2) * rows,
    };
    addStep(hz, { lnCentre: p[at], levelDb: p[at + 1], lnSharpness: p[at + 2] }, out, columns);
  }
  for (const { shape } of model.bells) {
    const columns = jacobian && {
      jacobian,
      lnCentre: at * rows,
      level: (at + 1) * rows,
      lnQ: (at + 2) * rows,
    };
    addBell(hz, { lnCentre: p[at], levelDb: p[at + 1], lnQ: p[at + 2], shape }, out, columns);
    at += 3;
  }
}

function weigh(data: ResponseData, residual: Float64Array, rows: number, jacobian?: Float64Array): void {
  const { sigmaDb, drift } = data;
  const points = sigmaDb.length;
  for (let i = 0; i < points; i++) residual[i] /= sigmaDb[i];
  subtractDrift(residual, drift, 0, points);
  if (!jacobian) return;
  for (let column = 0; column < jacobian.length; column += rows) {
    for (let i = 0; i < points; i++) jacobian[column + i] /= sigmaDb[i];
    subtractDrift(jacobian, drift, column, points);
  }
}

function unpack(p: Float64Array, model: ResponseModel): ResponseModel {
  let at = 2;
  const next = (): number => p[at++];
  return {
    levelDb: p[0],
    tiltDbPerOctave: p[1],
    highPass: model.highPass.map(() => ({ cornerHz: Math.exp(next()), q: Math.exp(next()) })),
    steps: model.steps.map(() => ({
      centreHz: Math.exp(next()),
      levelDb: next(),
      sharpness: Math.exp(next()),
    })),
    bells: model.bells.map(({ shape }) => ({
      centreHz: Math.exp(next()),
      levelDb: next(),
      q: Math.exp(next()),
      shape,
    })),
  };
}
