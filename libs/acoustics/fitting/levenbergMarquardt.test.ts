import { describe, expect, it } from 'vitest';
import { levenbergMarquardt, type LeastSquaresProblem } from './levenbergMarquardt.js';

/** Rosenbrock's function as residuals (More, Garbow, Hillstrom 1981, test problem 1): zero at (1, 1). */
function rosenbrock(lower: readonly number[], upper: readonly number[]): LeastSquaresProblem {
  return {
    residualCount: 2,
    lower,
    upper,
    evaluate: ([x, y], residual, jacobian) => {
      residual[0] = 10 * (y - x * x);
      residual[1] = 1 - x;
      jacobian?.set([-20 * x, -1, 10, 0]);
    },
  };
}

describe('levenbergMarquardt', () => {
  it('solves Rosenbrock from its standard start', () => {
    const fit = levenbergMarquardt(rosenbrock([-10, -10], [10, 10]), [-1.2, 1], { maximumIterations: 200 });
    expect(fit.parameters[0]).toBeCloseTo(1, 6);
    expect(fit.parameters[1]).toBeCloseTo(1, 6);
    expect(fit.cost).toBeLessThan(1e-12);
  });

  it('stops at a bound, at the best point the bound leaves', () => {
    // With x <= 0.5 the least cost is at x = 0.5, y = 0.25: (1 - 0.5)^2.
    const fit = levenbergMarquardt(rosenbrock([-10, -10], [0.5, 10]), [-1.2, 1], { maximumIterations: 200 });
    expect(fit.parameters[0]).toBeCloseTo(0.5, 6);
    expect(fit.parameters[1]).toBeCloseTo(0.25, 4);
    expect(fit.cost).toBeCloseTo(0.25, 6);
  });

  it('holds a parameter whose bounds are equal', () => {
    const fit = levenbergMarquardt(rosenbrock([0.5, -10], [0.5, 10]), [0.5, 3], { maximumIterations: 100 });
    expect(fit.parameters[0]).toBe(0.5);
    expect(fit.parameters[1]).toBeCloseTo(0.25, 6);
  });

  it('gives the least-squares line of a linear problem, by its normal equations', () => {
    const x = [0, 1, 2, 3, 4];
    const y = [1, 2.2, 2.9, 4.1, 5];
    const fit = levenbergMarquardt(
      {
        residualCount: 5,
        lower: [-100, -100],
        upper: [100, 100],
        evaluate: ([offset, slope], residual, jacobian) => {
          x.forEach((at, i) => (residual[i] = offset + slope * at - y[i]));
          jacobian?.set([1, 1, 1, 1, 1, ...x]);
        },
      },
      [0, 0],
    );
    // By hand: mean x 2, mean y 3.04, slope = sum((x-2)(y-3.04)) / 10 = 9.9 / 10.
    expect(fit.parameters[1]).toBeCloseTo(0.99, 6);
    expect(fit.parameters[0]).toBeCloseTo(3.04 - 2 * 0.99, 6);
  });

  it('does not take a step to where the cost is not a number', () => {
    const fit = levenbergMarquardt(
      {
        residualCount: 1,
        lower: [-100],
        upper: [100],
        evaluate: ([x], residual, jacobian) => {
          residual[0] = Math.log(x) + 3;
          jacobian?.set([1 / x]);
        },
      },
      [1],
      { maximumIterations: 100 },
    );
    expect(fit.parameters[0]).toBeCloseTo(Math.exp(-3), 6);
  });
});
