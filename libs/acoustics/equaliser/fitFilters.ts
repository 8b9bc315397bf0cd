import { levenbergMarquardt } from '../fitting/levenbergMarquardt.js';
import type { CorrectionTarget } from './correctionTarget.js';
import type { FilterPlacement } from './filterPlacement.js';
import { halfAngleSquares } from './halfAngleSquares.js';
import { FORBIDDEN_WEIGHT, misfits } from './misfits.js';
import { placedResponseDb } from './placedResponseDb.js';
import { removeMean } from './removeMean.js';

export interface FittedFilters {
  readonly placements: readonly FilterPlacement[];
  /** ln frequency, gain in dB and ln Q of each in turn. */
  readonly parameters: Float64Array;
  /** Sum of squared misfits, dB^2 (boosts into faults count for more). */
  readonly cost: number;
}

/** Step of the one-sided differences the derivatives are taken by, in each parameter's own unit. */
const STEP = 1e-4;

/**
 * Fits filters together to the wanted gain by Levenberg-Marquardt, all points of the grid alike.
 *
 * @param parameters where to start, three for each placement
 */
export function fitFilters(
  target: CorrectionTarget,
  sampleRateHz: number,
  placements: readonly FilterPlacement[],
  parameters: ArrayLike<number>,
  maximumIterations = 6,
): FittedFilters {
  const halfAngles = halfAngleSquares(target.frequencyHz, sampleRateHz);
  const points = halfAngles.length;
  const response = (at: ArrayLike<number>, filter: number): Float64Array =>
    placedResponseDb(placements, at, filter, halfAngles, sampleRateHz);
  const evaluate = (at: Float64Array, residual: Float64Array, jacobian?: Float64Array): void => {
    const singles = placements.map((_, filter) => response(at, filter));
    const over = misfits(target, singles, residual);
    if (!jacobian) return;
    for (let j = 0; j < at.length; j++) {
      const moved = Float64Array.from(at);
      moved[j] += STEP;
      const filter = Math.floor(j / 3);
      const column = jacobian.subarray(j * 2 * points, (j + 1) * 2 * points);
      fillSlopes(target, response(moved, filter), singles[filter], over, column);
    }
  };
  const { parameters: fitted, cost } = levenbergMarquardt(
    {
      residualCount: 2 * points,
      lower: placements.flatMap(({ lower }) => lower),
      upper: placements.flatMap(({ upper }) => upper),
      evaluate,
    },
    Float64Array.from(parameters),
    { maximumIterations, relativeTolerance: 1e-3 },
  );
  return { placements, parameters: fitted, cost };
}

/** Fills one column of the Jacobian. */
function fillSlopes(
  { levelIsFree }: CorrectionTarget,
  moved: Float64Array,
  here: Float64Array,
  over: Uint8Array,
  column: Float64Array,
): void {
  const points = here.length;
  for (let i = 0; i < points; i++) {
    column[i] = (moved[i] - here[i]) / STEP;
    column[points + i] = over[i] * FORBIDDEN_WEIGHT * column[i];
  }
  if (levelIsFree) removeMean(column.subarray(0, points));
}
