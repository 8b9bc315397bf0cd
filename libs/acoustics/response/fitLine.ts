export interface FittedLine {
  readonly slope: number;
  readonly intercept: number;
  readonly residualRms: number;
  /** Coefficient of determination; 1 when the values do not vary at all. */
  readonly rSquared: number;
}

/**
 * Least squares of y against x.
 *
 * @param x at least two different values
 * @param y as long as `x`
 * @returns y = intercept + slope x, in the units given
 * @example fitLine([0, 1, 2], [1, 3, 5]) // slope 2, intercept 1
 */
export function fitLine(x: ArrayLike<number>, y: ArrayLike<number>): FittedLine {
  const count = x.length;
  let sumX = 0;
  let sumY = 0;
  for (let i = 0; i < count; i += 1) {
    sumX += x[i];
    sumY += y[i];
  }
  const meanX = sumX / count;
  const meanY = sumY / count;
  let xx = 0;
  let xy = 0;
  let yy = 0;
  for (let i = 0; i < count; i += 1) {
    xx += (x[i] - meanX) ** 2;
    xy += (x[i] - meanX) * (y[i] - meanY);
    yy += (y[i] - meanY) ** 2;
  }
  const slope = xy / xx;
  // The difference can fall below zero by rounding where the points lie on the line.
  const unexplained = Math.max(0, yy - slope * xy);
  return {
    slope,
    intercept: meanY - slope * meanX,
    residualRms: Math.sqrt(unexplained / count),
    rSquared: yy === 0 ? 1 : 1 - unexplained / yy,
  };
}
