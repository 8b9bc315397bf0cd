const DB_PER_NEPER_POWER = 10 / Math.LN10;

/**
 * Adds the level, dB, of a second-order roll-off to `out` (length of `hz`), and writes its derivatives by
 * ln fc and ln Q into the columns of `jacobian` that begin at `columns.lnCorner` and `columns.lnQ` when given.
 *
 * With x = f / fc: high-pass 10 lg(x^4 / D), low-pass 10 lg(1 / D), D = (x^2 - 1)^2 + x^2 / Q^2.
 */
export function addRollOff(
  hz: Float64Array,
  section: { readonly side: 'high-pass' | 'low-pass'; readonly lnCorner: number; readonly lnQ: number },
  out: Float64Array,
  columns?: { readonly jacobian: Float64Array; readonly lnCorner: number; readonly lnQ: number },
): void {
  const inverseQSquared = Math.exp(-2 * section.lnQ);
  const inverseCorner = Math.exp(-section.lnCorner);
  const high = section.side === 'high-pass';
  for (let i = 0; i < hz.length; i++) {
    const xSquared = (hz[i] * inverseCorner) ** 2;
    const damping = xSquared * inverseQSquared;
    const denominator = (xSquared - 1) ** 2 + damping;
    out[i] += DB_PER_NEPER_POWER * Math.log((high ? xSquared * xSquared : 1) / denominator);
    if (!columns) continue;
    const denominatorByLnX = 4 * xSquared * (xSquared - 1) + 2 * damping;
    columns.jacobian[columns.lnCorner + i] =
      DB_PER_NEPER_POWER * (denominatorByLnX / denominator - (high ? 4 : 0));
    columns.jacobian[columns.lnQ + i] = (DB_PER_NEPER_POWER * 2 * damping) / denominator;
  }
}
