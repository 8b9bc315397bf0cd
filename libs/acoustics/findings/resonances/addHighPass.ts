const DB_PER_NEPER_POWER = 10 / Math.LN10;

/**
 * Adds the level, dB, of a second-order high-pass section, 10 lg(x^4 / ((x^2 - 1)^2 + x^2 / Q^2)) with
 * x = f / fc, to `out` (length of `hz`), and writes its derivatives by ln fc and ln Q into the columns of
 * `jacobian` that begin at `lnCornerColumn` and `lnQColumn` when given.
 */
export function addHighPass(
  hz: Float64Array,
  section: { readonly lnCorner: number; readonly lnQ: number },
  out: Float64Array,
  columns?: { readonly jacobian: Float64Array; readonly lnCorner: number; readonly lnQ: number },
): void {
  const inverseQSquared = Math.exp(-2 * section.lnQ);
  const inverseCorner = Math.exp(-section.lnCorner);
  for (let i = 0; i < hz.length; i++) {
    const xSquared = (hz[i] * inverseCorner) ** 2;
    const damping = xSquared * inverseQSquared;
    const denominator = (xSquared - 1) ** 2 + damping;
    out[i] += DB_PER_NEPER_POWER * Math.log((xSquared * xSquared) / denominator);
    if (!columns) continue;
    const denominatorByLnX = 4 * xSquared * (xSquared - 1) + 2 * damping;
    columns.jacobian[columns.lnCorner + i] = DB_PER_NEPER_POWER * (denominatorByLnX / denominator - 4);
    columns.jacobian[columns.lnQ + i] = (DB_PER_NEPER_POWER * 2 * damping) / denominator;
  }
}
