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
  // Just under 1 at the ends of the window, so that its outermost points still count.
  const tricube = Float64Array.from({ length: 2 * halfWidth + 1 }, (_, k) => {
    const distance = Math.abs(k / halfWidth - 1) * 0.999;
    return (1 - distance ** 3) ** 3;
  });
  let trend = new Float64Array(values.length);
  for (let pass = 0; pass < 3; pass += 1) {
    trend = Float64Array.from(values, (_, at) => localValue(values, robustness, tricube, at, halfWidth));
    const residuals = values.map((value, at) => Math.abs(value - trend[at]));
    const scale = 6 * median(residuals);
    if (scale === 0) return trend;
    residuals.forEach((residual, at) => {
      // A floor keeps the fit determined where every neighbour is an outlier.
      robustness[at] = residual >= scale ? 1e-3 : Math.max(1e-3, (1 - (residual / scale) ** 2) ** 2);
    });
  }
  return trend;
}

/** Value at the middle of a weighted quadratic through the neighbours. */
function localValue(
  values: Float64Array,
  robustness: Float64Array,
  tricube: Float64Array,
  at: number,
  halfWidth: number,
): number {
  const moments: Moments = [0, 0, 0, 0, 0];
  const products: Products = [0, 0, 0];
  const from = Math.max(0, at - halfWidth);
  const to = Math.min(values.length - 1, at + halfWidth);
  for (let i = from; i <= to; i += 1) {
    const x = (i - at) / halfWidth;
    const w0 = tricube[i - at + halfWidth] * robustness[i];
    const w1 = w0 * x;
    const w2 = w1 * x;
    moments[0] += w0;
    moments[1] += w1;
    moments[2] += w2;
    moments[3] += w2 * x;
    moments[4] += w2 * x * x;
    products[0] += w0 * values[i];
    products[1] += w1 * values[i];
    products[2] += w2 * values[i];
  }
  return solveForConstant(moments, products) ?? values[at];
}

type Moments = [number, number, number, number, number];
type Products = [number, number, number];

/** First unknown of the 3 x 3 normal equations, by Cramer's rule. */
function solveForConstant([m0, m1, m2, m3, m4]: Moments, [p0, p1, p2]: Products): number | undefined {
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
