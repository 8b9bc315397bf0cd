/** Middle value; the mean of the two middle ones for an even count; NaN for none. */
export function median(values: readonly number[]): number {
  if (values.length === 0) return NaN;
  const sorted = values.toSorted((one, other) => one - other);
  const middle = sorted.length >> 1;
  return sorted.length % 2 === 1 ? sorted[middle] : (sorted[middle - 1] + sorted[middle]) / 2;
}
