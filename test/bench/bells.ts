import type { LeastSquaresProblem } from '../../libs/acoustics/fitting/levenbergMarquardt.js';

/** A curve to be matched by peaking filters; parameters are ln frequency, gain in dB and ln Q of each in turn. */
export interface BellProblem extends LeastSquaresProblem {
  readonly cosines: Float64Array;
  readonly squaredSines: Float64Array;
  readonly sampleRateHz: number;
}

const DB_PER_NEPER = 10 / Math.LN10;

/**
 * The response of an RBJ peaking filter (Audio EQ Cookbook, W3C Note, 8 June 2021) is, with D = cos w - cos w0 and
 * s = sin w, 10 lg[(D^2 + (alpha A s)^2) / (D^2 + (alpha s / A)^2)] dB [derived].
 */
export function bellProblem(gridHz: Float64Array, targetDb: Float64Array, sampleRateHz: number): BellProblem {
  const radians = gridHz.map((hz) => (2 * Math.PI * hz) / sampleRateHz);
  const problem = {
    cosines: radians.map(Math.cos),
    squaredSines: radians.map((w) => Math.sin(w) ** 2),
    sampleRateHz,
  };
  return {
    ...problem,
    residualCount: gridHz.length,
    lower: Array.from({ length: 6 }, () => [Math.log(20), -12, Math.log(0.3)]).flat(),
    upper: Array.from({ length: 6 }, () => [Math.log(20_000), 12, Math.log(12)]).flat(),
    evaluate: (parameters, residual, jacobian) => {
      for (let i = 0; i < residual.length; i++) residual[i] = -targetDb[i];
      addBells(problem, parameters, residual, jacobian);
    },
  };
}

/** The sum of the filters' responses in dB. */
export function bellsDb(problem: BellProblem, parameters: Float64Array): Float64Array {
  const sum = new Float64Array(problem.residualCount);
  addBells(problem, parameters, sum);
  return sum;
}

type Points = Pick<BellProblem, 'cosines' | 'squaredSines' | 'sampleRateHz'>;

function addBells(
  points: Points,
  parameters: Float64Array,
  sum: Float64Array,
  jacobian?: Float64Array,
): void {
  const { cosines, squaredSines, sampleRateHz } = points;
  const count = sum.length;
  for (let p = 0; p < parameters.length; p += 3) {
    const w0 = (2 * Math.PI * Math.exp(parameters[p])) / sampleRateHz;
    const amplitude = 10 ** (parameters[p + 1] / 40);
    const q = Math.exp(parameters[p + 2]);
    const [sin0, cos0] = [Math.sin(w0), Math.cos(w0)];
    const alpha = sin0 / (2 * q);
    const [up, down] = [(alpha * amplitude) ** 2, (alpha / amplitude) ** 2];
    const alphaByFrequency = (w0 * cos0) / sin0;
    for (let i = 0; i < count; i++) {
      const distance = cosines[i] - cos0;
      const above = distance * distance + up * squaredSines[i];
      const below = distance * distance + down * squaredSines[i];
      sum[i] += DB_PER_NEPER * Math.log(above / below);
      if (!jacobian) continue;
      const upShare = (2 * up * squaredSines[i]) / above;
      const downShare = (2 * down * squaredSines[i]) / below;
      const byDistance = 2 * distance * sin0 * w0 * (1 / above - 1 / below);
      const byAlpha = upShare - downShare;
      jacobian[p * count + i] = DB_PER_NEPER * (byDistance + byAlpha * alphaByFrequency);
      jacobian[(p + 1) * count + i] = 0.25 * (upShare + downShare);
      jacobian[(p + 2) * count + i] = -DB_PER_NEPER * byAlpha;
    }
  }
}
