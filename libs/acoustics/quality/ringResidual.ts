/** Each reading less what a cubic through its four neighbours expects there. */
export const NEIGHBOUR_WEIGHTS = [1 / 6, -4 / 6, 1, -4 / 6, 1 / 6] as const;

/**
 * How far each value of a ring departs from the cubic through its two neighbours to each side.
 *
 * @param values in turning order
 * @param valid whether a value may be used at all
 * @returns undefined where a neighbour is missing or not valid
 */
export function ringResidual(
  values: readonly number[],
  valid: readonly boolean[],
  closed: boolean,
): (number | undefined)[] {
  const count = values.length;
  return values.map((_, at) => {
    let residual = 0;
    for (let k = -2; k <= 2; k += 1) {
      const next = at + k;
      if (!closed && (next < 0 || next >= count)) return undefined;
      const index = (next + count) % count;
      if (!valid[index]) return undefined;
      residual += NEIGHBOUR_WEIGHTS[k + 2] * values[index];
    }
    return residual;
  });
}
