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
  /**
   * The rows parameter j matters in, first and one past the last, at `[2 j]` and `[2 j + 1]`. What two parameters
   * have in common is then counted only where both matter: steps may be a little less direct, but lead to the same
   * place, since the gradient is exact. Without it, all rows.
   */
  readonly support?: (parameters: Float64Array) => Int32Array;
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
  let at = { residual: new Float64Array(m), jacobian: new Float64Array(m * n) };
  let next = { residual: new Float64Array(m), jacobian: new Float64Array(m * n) };
  problem.evaluate(parameters, at.residual, at.jacobian);
  let cost = sumOfSquares(at.residual);
  let damping = 1e-3;
  let growth = 2;
  let iterations = 0;
  while (iterations < maximumIterations && cost > 0) {
    iterations++;
    const { delta, predictedGain } = dampedStep(problem, parameters, at.residual, at.jacobian, damping);
    const trial = clampInto(
      parameters.map((value, j) => value + delta[j]),
      problem,
    );
    // Most trials are accepted, so their derivatives are computed along with them.
    problem.evaluate(trial, next.residual, next.jacobian);
    const trialCost = sumOfSquares(next.residual);
    if (!(trialCost < cost)) {
      damping *= growth;
      growth *= 2;
      if (damping > 1e12) break;
      continue;
    }
    const gained = cost - trialCost;
    const ratio = gained / Math.max(predictedGain, Number.MIN_VALUE);
    damping = Math.max(1e-12, damping * Math.max(1 / 3, 1 - (2 * ratio - 1) ** 3));
    growth = 2;
    parameters = trial;
    cost = trialCost;
    [at, next] = [next, at];
    if (gained <= relativeTolerance * (cost + gained)) break;
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
  const { normal, gradient } = normalEquations(jacobian, residual, n, problem.support?.(parameters));
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
  support?: Int32Array,
): { readonly normal: Float64Array; readonly gradient: Float64Array } {
  const m = residual.length;
  const normal = new Float64Array(n * n);
  const gradient = new Float64Array(n);
  for (let j = 0; j < n; j++) {
    const column = j * m;
    gradient[j] = dotProduct(jacobian, column, residual, 0, m);
    normal[j * n + j] = dotProduct(jacobian, column, jacobian, column, m);
    for (let k = 0; k < j; k++) {
      const from = support ? Math.max(support[2 * j], support[2 * k]) : 0;
      const to = support ? Math.min(support[2 * j + 1], support[2 * k + 1]) : m;
      if (to <= from) continue;
      const sum = dotProduct(jacobian, column + from, jacobian, k * m + from, to - from);
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
