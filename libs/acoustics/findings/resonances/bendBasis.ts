/**
 * The values of `count` uniform cubic B-splines over log frequency at each of `hz`, one after the other:
 * spline k at `[k * hz.length, (k + 1) * hz.length)`. They add up to 1 between the ends of `rangeHz`, which
 * they cut into `count - 3` equal parts; `count` is 0 or at least 4.
 */
export function bendBasis(hz: Float64Array, count: number, rangeHz: readonly [number, number]): Float64Array {
  const values = new Float64Array(count * hz.length);
  if (count === 0) return values;
  const partsPerNeper = (count - 3) / Math.log(rangeHz[1] / rangeHz[0]);
  for (let i = 0; i < hz.length; i++) {
    const t = Math.log(hz[i] / rangeHz[0]) * partsPerNeper;
    for (let k = 0; k < count; k++) {
      const x = Math.abs(t - (k - 1));
      if (x < 1) values[k * hz.length + i] = 2 / 3 - x * x + (x * x * x) / 2;
      else if (x < 2) values[k * hz.length + i] = (2 - x) ** 3 / 6;
    }
  }
  return values;
}
