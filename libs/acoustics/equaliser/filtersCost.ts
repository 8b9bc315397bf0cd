import type { CorrectionTarget } from './correctionTarget.js';
import type { FilterPlacement } from './filterPlacement.js';
import { halfAngleSquares } from './halfAngleSquares.js';
import { misfits } from './misfits.js';
import { placedResponseDb } from './placedResponseDb.js';

/** Sum of squared misfits of filters as they stand, dB^2. */
export function filtersCost(
  target: CorrectionTarget,
  sampleRateHz: number,
  placements: readonly FilterPlacement[],
  parameters: ArrayLike<number>,
): number {
  const halfAngles = halfAngleSquares(target.frequencyHz, sampleRateHz);
  const residual = new Float64Array(2 * halfAngles.length);
  const singles = placements.map((_, filter) =>
    placedResponseDb(placements, parameters, filter, halfAngles, sampleRateHz),
  );
  misfits(target, singles, residual);
  return residual.reduce((sum, value) => sum + value * value, 0);
}
