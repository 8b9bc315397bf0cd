import type { InterpolationPlan } from './interpolationPlan.js';

/**
 * Values on the plan's grid, linear in the values and in log frequency.
 *
 * @param values one per data point of the plan's frequency column
 * @param offset added to every value (a level normalisation in dB)
 */
export function applyInterpolation(
  plan: InterpolationPlan,
  values: ArrayLike<number>,
  offset = 0,
): Float64Array {
  const { index, fraction } = plan;
  const result = new Float64Array(index.length);
  for (let g = 0; g < index.length; g += 1) {
    const at = index[g];
    const low = values[at];
    const share = fraction[g];
    result[g] = offset + (share === 0 ? low : low + share * (values[at + 1] - low));
  }
  return result;
}
