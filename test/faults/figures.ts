/** Seconds as `p50, p99, max` of milliseconds. */
export function times(milliseconds: readonly number[]): string {
  const sorted = milliseconds.toSorted((a, b) => a - b);
  const at = (share: number) =>
    (sorted[Math.min(sorted.length - 1, Math.floor(share * sorted.length))] ?? 0) / 1000;
  return `${at(0.5).toFixed(2)} s (p50), ${at(0.99).toFixed(2)} s (p99), ${at(1).toFixed(2)} s (longest)`;
}
