/**
 * Sum of products of `count` values of `a` from `aFrom` and of `b` from `bFrom`. Four running sums: one alone
 * would wait for each addition to finish before the next.
 */
export function dotProduct(
  a: Float64Array,
  aFrom: number,
  b: Float64Array,
  bFrom: number,
  count: number,
): number {
  let s0 = 0;
  let s1 = 0;
  let s2 = 0;
  let s3 = 0;
  const whole = count - (count % 4);
  for (let i = 0; i < whole; i += 4) {
    s0 += a[aFrom + i] * b[bFrom + i];
    s1 += a[aFrom + i + 1] * b[bFrom + i + 1];
    s2 += a[aFrom + i + 2] * b[bFrom + i + 2];
    s3 += a[aFrom + i + 3] * b[bFrom + i + 3];
  }
  for (let i = whole; i < count; i++) s0 += a[aFrom + i] * b[bFrom + i];
  return s0 + s1 + (s2 + s3);
}
