/**
 * Positions at least `gap` apart and within [low, high], as near to the wanted ones as possible (least squares), in
 * the same order. `wanted` must rise. Pool-adjacent-violators on the positions less their minimal offsets. Where the
 * room is too small for the gap, the gap shrinks to what there is.
 */
export function spread(wanted: readonly number[], gap: number, low: number, high: number): number[] {
  if (wanted.length === 0) return [];
  const usedGap = wanted.length > 1 ? Math.min(gap, (high - low) / (wanted.length - 1)) : 0;
  const pools: { sum: number; count: number }[] = [];
  wanted.forEach((value, index) => {
    let pool = { sum: value - index * usedGap, count: 1 };
    let before = pools.at(-1);
    while (before && before.sum / before.count >= pool.sum / pool.count) {
      pools.pop();
      pool = { sum: pool.sum + before.sum, count: pool.count + before.count };
      before = pools.at(-1);
    }
    pools.push(pool);
  });
  const means = pools.flatMap(({ sum, count }) => Array.from({ length: count }, () => sum / count));
  const highest = high - (wanted.length - 1) * usedGap;
  return means.map((mean, index) => Math.min(Math.max(mean, low), highest) + index * usedGap);
}
