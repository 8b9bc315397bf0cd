/**
 * A smooth curve through evenly spaced values that narrow bumps don't pull with them: local quadratic
 * least squares with tricube weights, refitted with bisquare weights on the residuals (Cleveland 1979,
 * robust locally weighted regression).
 *
 * @param values evenly spaced
 * @param halfWidth points to each side that count
 * @returns as long as `values`
 */
export function localTrend(values: Float64Array, halfWidth: number): Float64Array {
  const robustness = new Float64Array(values.length).fill(1);
  let trend = new Float64Array(values.length);
  for (let pass = 0; pass < 3; pass += 1) {
    trend = Float64Array.from(values, (_, at) => localValue(values, robustness, at, halfWidth));
    const residuals = values.map((value, at) => Math.abs(value - trend[at]));
    const scale = 6 * median(residuals);
    if (scale === 0) return trend;
    residuals.forEach((residual, at) => {
      robustness[at] = residual >= scale ? 0 : (1 - (residual / scale) ** 2) ** 2;
    });
  }
  return trend;
}

/** Value at the middle of a weighted quadratic through the neighbours. */
function localValue(values: Float64Array, robustness: Float64Array, at: number, halfWidth: number): number {
  const moments = new Float64Array(5);
  const products = new Float64Array(3);
  const from = Math.max(0, at - halfWidth);
  const to = Math.min(values.length - 1, at + halfWidth);
  for (let i = from; i <= to; i += 1) {
    const x = (i - at) / halfWidth;
    // A floor keeps the fit determined where every neighbour is an outlier.
    const weight = (1 - Math.abs(x * 0.999) ** 3) ** 3 * Math.max(1e-3, robustness[i]);
    for (let power = 0, term = weight; power < 5; power += 1, term *= x) {
      moments[power] += term;
      if (power < 3) products[power] += term * values[i];
    }
  }
  return solveForConstant(moments, products) ?? values[at];
}

/** First unknown of the 3 x 3 normal equations, by Cramer's rule. */
function solveForConstant(m: Float64Array, p: Float64Array): number | undefined {
  const [m0, m1, m2, m3, m4] = m as unknown as [number, number, number, number, number];
  const [p0, p1, p2] = p as unknown as [number, number, number];
  const minor0 = m2 * m4 - m3 * m3;
  const minor1 = m1 * m4 - m2 * m3;
  const minor2 = m1 * m3 - m2 * m2;
  const determinant = m0 * minor0 - m1 * minor1 + m2 * minor2;
  if (Math.abs(determinant) < 1e-12) return undefined;
  return (p0 * minor0 - p1 * minor1 + p2 * minor2) / determinant;
}

function median(values: Float64Array): number {
  return values.toSorted()[values.length >> 1] ?? 0;
}
