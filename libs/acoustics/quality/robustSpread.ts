import { median } from './median.js';

/** Spread that a few outliers don't move: 1.4826 times the median distance from the median (a normal sigma). */
export function robustSpread(values: readonly number[]): number {
  const middle = median(values);
  return 1.4826 * median(values.map((value) => Math.abs(value - middle)));
}
