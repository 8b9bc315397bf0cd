import { levenbergMarquardt, type LeastSquaresProblem } from '../../fitting/levenbergMarquardt.js';
import { addBell } from './addBell.js';
import { addRollOff } from './addRollOff.js';
import { bendBasis } from './bendBasis.js';
import { modelParameters, type ModelParameters } from './modelParameters.js';
import type { ResponseData, ResponseModel } from './responseModel.js';
import { subtractDrift } from './subtractDrift.js';

/** How far from its centre a bell is looked at together with others, in widths at half level. */
const SUPPORT_WIDTHS = 6;

export interface RefinedModel {
  readonly model: ResponseModel;
  /** Sum of squared misfits over sigma, expectations included; dimensionless. */
  readonly cost: number;
}

/**
 * Fits every part of `model` to `data` at once, from where it stands, by Levenberg-Marquardt. Parts are
 * neither added nor taken away and keep their order; with the line `held`, its level and tilt stay.
 */
export function refineModel(
  data: ResponseData,
  model: ResponseModel,
  maximumIterations: number,
  line: 'free' | 'held' = 'free',
): RefinedModel {
  const layout = modelParameters(data, model, line);
  const options = { maximumIterations, relativeTolerance: 1e-4 };
  const fit = levenbergMarquardt(problemFor(data, model, layout), layout.start, options);
  return { model: unpack(fit.parameters, model), cost: fit.cost };
}

function problemFor(data: ResponseData, model: ResponseModel, layout: ModelParameters): LeastSquaresProblem {
  const points = data.hz.length;
  const rows = points + layout.expectations.length;
  const linear = linearColumns(data.hz, model);
  const evaluate = (parameters: Float64Array, residual: Float64Array, jacobian?: Float64Array): void => {
    for (let i = 0; i < points; i++) residual[i] = -data.levelDb[i];
    linear.forEach((column, k) => {
      for (let i = 0; i < points; i++) residual[i] += parameters[k] * column[i];
    });
    if (jacobian) {
      jacobian.fill(0);
      linear.forEach((column, k) => jacobian.set(column, k * rows));
    }
    addShapes(data.hz, model, parameters, linear.length, residual, rows, jacobian);
    weigh(data, residual, rows, jacobian);
    layout.expectations.forEach(({ index, expectation }, k) => {
      residual[points + k] = (parameters[index] - expectation.mean) / expectation.deviation;
      if (jacobian) jacobian[index * rows + points + k] = 1 / expectation.deviation;
    });
  };
  const support = (parameters: Float64Array): Int32Array =>
    bellSupport(data.hz, model.bells.length, parameters);
  return { residualCount: rows, lower: layout.lower, upper: layout.upper, evaluate, support };
}

/** Bells, the last parameters, matter within some widths of their centre; all else everywhere. */
function bellSupport(hz: Float64Array, bells: number, parameters: Float64Array): Int32Array {
  const points = hz.length;
  const support = new Int32Array(2 * parameters.length);
  for (let j = 0; j < parameters.length; j++) support[2 * j + 1] = points;
  const lnFirst = Math.log(hz[0]);
  const perNeper = (points - 1) / (Math.log(hz[points - 1]) - lnFirst);
  for (let j = parameters.length - 3 * bells; j < parameters.length; j += 3) {
    const reach = SUPPORT_WIDTHS * 2 * Math.asinh(1 / (2 * Math.exp(parameters[j + 2])));
    const from = Math.max(0, Math.floor((parameters[j] - reach - lnFirst) * perNeper));
    const to = Math.min(points, Math.ceil((parameters[j] + reach - lnFirst) * perNeper) + 1);
    for (let k = j; k < j + 3; k++) support.set([from, to], 2 * k);
  }
  return support;
}

/** The parts that are linear in their parameter: level, tilt and the bend. */
function linearColumns(hz: Float64Array, model: ResponseModel): readonly Float64Array[] {
  const { coefficientsDb, rangeHz } = model.bend;
  const basis = bendBasis(hz, coefficientsDb.length, rangeHz);
  return [
    hz.map(() => 1),
    hz.map((f) => Math.log2(f / 1000)),
    ...coefficientsDb.map((_, k) => basis.subarray(k * hz.length, (k + 1) * hz.length)),
  ];
}

function addShapes(
  hz: Float64Array,
  model: ResponseModel,
  p: Float64Array,
  from: number,
  out: Float64Array,
  rows: number,
  jacobian?: Float64Array,
): void {
  let at = from;
  for (const { side } of model.rollOffs) {
    const columns = jacobian && { jacobian, lnCorner: at * rows, lnQ: (at + 1) * rows };
    addRollOff(hz, { side, lnCorner: p[at], lnQ: p[at + 1] }, out, columns);
    at += 2;
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
  let at = 0;
  const next = (): number => p[at++];
  return {
    levelDb: next(),
    tiltDbPerOctave: next(),
    bend: { ...model.bend, coefficientsDb: model.bend.coefficientsDb.map(() => next()) },
    rollOffs: model.rollOffs.map(({ side }) => ({ side, cornerHz: Math.exp(next()), q: Math.exp(next()) })),
    bells: model.bells.map(({ shape }) => ({
      centreHz: Math.exp(next()),
      levelDb: next(),
      q: Math.exp(next()),
      shape,
    })),
  };
}
