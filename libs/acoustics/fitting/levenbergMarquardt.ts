import { dotProduct } from './dotProduct.js';
import { solveSymmetric } from './solveSymmetric.js';

export interface LeastSquaresProblem {
  readonly residualCount: number;
  readonly lower: readonly number[];
  readonly upper: readonly number[];
  /**
   * Fills `residual` (length `residualCount`) at `parameters` and, when given, `jacobian`: one column per
   * parameter, column `j` at `[j * residualCount, (j + 1) * residualCount)`, holding d residual / d parameter.
   */
  readonly evaluate: (parameters: Float64Array, residual: Float64Array, jacobian?: Float64Array) => void;
}

export interface LeastSquaresFit {
  readonly parameters: Float64Array;
  /** Half would be the textbook's; this is the plain sum of squared residuals. */
  readonly cost: number;
  readonly iterations: number;
}

export interface LevenbergMarquardtOptions {
  readonly maximumIterations?: number;
  /** Stops when one accepted step lowers the cost by less than this share. */
  readonly relativeTolerance?: number;
}

/**
 * Minimises the sum of squared residuals within bounds.
 *
 * Levenberg-Marquardt with Marquardt's scaling (Marquardt 1963, J. SIAM 11, 431-441) and the gain-ratio
 * damping of Nielsen (1999, IMM-REP-1999-05, formula from memory). A parameter that stands at a bound with
 * the gradient pushing outwards is held for that step; trial points are clamped to the bounds.
 *
 * `start` is copied; it must be finite. A trial whose cost is not finite is refused like any worse one.
 */
export function levenbergMarquardt(
  problem: LeastSquaresProblem,
  start: readonly number[] | Float64Array,
  options: LevenbergMarquardtOptions = {},
): LeastSquaresFit {
  const { maximumIterations = 50, relativeTolerance = 1e-6 } = options;
  const m = problem.residualCount;
  const n = start.length;
  let parameters = clampInto(Float64Array.from(start), problem);
  let residual = new Float64Array(m);
  const jacobian = new Float64Array(m * n);
  problem.evaluate(parameters, residual, jacobian);
  let cost = sumOfSquares(residual);
  let trialResidual = new Float64Array(m);
  let damping = 1e-3;
  let growth = 2;
  let iterations = 0;
  while (iterations < maximumIterations && cost > 0) {
    iterations++;
    const step = dampedStep(problem, parameters, residual, jacobian, damping);
    const trial = clampInto(
      parameters.map((value, j) => value + step.delta[j]),
      problem,
    );
    problem.evaluate(trial, trialResidual);
    const trialCost = sumOfSquares(trialResidual);
    if (!(trialCost < cost)) {
      damping *= growth;
      growth *= 2;
      if (damping > 1e12) break;
      continue;
    }
    const gained = cost - trialCost;
    const ratio = gained / Math.max(step.predictedGain, Number.MIN_VALUE);
    damping = Math.max(1e-12, damping * Math.max(1 / 3, 1 - (2 * ratio - 1) ** 3));
    growth = 2;
    parameters = trial;
    const settled = gained <= relativeTolerance * cost;
    cost = trialCost;
    if (settled) break;
    problem.evaluate(parameters, trialResidual, jacobian);
    [residual, trialResidual] = [trialResidual, residual];
  }
  return { parameters, cost, iterations };
}

/** Solves (J'J + damping diag(J'J)) delta = -J'r over the parameters that are free to move. */
function dampedStep(
  problem: LeastSquaresProblem,
  parameters: Float64Array,
  residual: Float64Array,
  jacobian: Float64Array,
  damping: number,
): { readonly delta: Float64Array; readonly predictedGain: number } {
  const n = parameters.length;
  const { normal, gradient } = normalEquations(jacobian, residual, n);
  const diagonal = new Float64Array(n);
  for (let j = 0; j < n; j++) {
    diagonal[j] = damping * Math.max(normal[j * n + j], 1e-12);
    const held =
      (parameters[j] <= problem.lower[j] && gradient[j] > 0) ||
      (parameters[j] >= problem.upper[j] && gradient[j] < 0);
    if (held) isolate(normal, gradient, j, n);
    normal[j * n + j] += diagonal[j];
  }
  const delta = solveSymmetric(
    normal,
    gradient.map((value) => -value),
  );
  let predictedGain = 0;
  for (let j = 0; j < n; j++) predictedGain += delta[j] * (diagonal[j] * delta[j] - gradient[j]);
  return { delta, predictedGain };
}

function isolate(normal: Float64Array, gradient: Float64Array, j: number, n: number): void {
  for (let k = 0; k < n; k++) {
    normal[j * n + k] = 0;
    normal[k * n + j] = 0;
  }
  normal[j * n + j] = 1;
  gradient[j] = 0;
}

function normalEquations(
  jacobian: Float64Array,
  residual: Float64Array,
  n: number,
): { readonly normal: Float64Array; readonly gradient: Float64Array } {
  const m = residual.length;
  const normal = new Float64Array(n * n);
  const gradient = new Float64Array(n);
  for (let j = 0; j < n; j++) {
    const column = j * m;
    gradient[j] = dotProduct(jacobian, column, residual, 0, m);
    for (let k = 0; k <= j; k++) {
      const sum = dotProduct(jacobian, column, jacobian, k * m, m);
      normal[j * n + k] = sum;
      normal[k * n + j] = sum;
    }
  }
  return { normal, gradient };
}

function clampInto(parameters: Float64Array, problem: LeastSquaresProblem): Float64Array {
  for (let j = 0; j < parameters.length; j++) {
    parameters[j] = Math.min(problem.upper[j], Math.max(problem.lower[j], parameters[j]));
  }
  return parameters;
}

function sumOfSquares(values: Float64Array): number {
  let sum = 0;
  for (const value of values) sum += value * value;
  return sum;
}
