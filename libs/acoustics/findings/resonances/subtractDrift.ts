/**
 * Replaces each of `count` values from `offset` on, but the last, by itself less `drift` times its successor,
 * in place. Squares of such differences are what least squares must add up when the remainder is not white
 * but wanders (first-order autoregressive): it makes a fit deaf to slow misfits.
 */
export function subtractDrift(values: Float64Array, drift: number, offset = 0, count = values.length): void {
  if (drift === 0) return;
  for (let i = offset; i + 1 < offset + count; i++) values[i] -= drift * values[i + 1];
}
