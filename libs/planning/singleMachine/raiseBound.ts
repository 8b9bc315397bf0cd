import type { Relaxation } from './relaxation.js';

/** Settings found by trial; the smoothing matters most. */
const firstStep = 2;
const smoothing = 0.85;
const shrink = 0.9;
const patience = 4;
const leastStep = 0.002;
/** A gain smaller than this share of the gap does not count as progress. */
const progressShare = 0.001;

/**
 * Raise the relaxation's lower bound by adjusting its prices: a job the path uses too often becomes dearer, one it
 * leaves out cheaper (subgradient steps with a smoothed direction).
 *
 * @param goal value at or above which the bound says all it can
 * @param workMost steps of the relaxation that may be spent
 * @returns the best bound; the prices that give it are left in place
 */
export function raiseBound(relaxation: Relaxation, goal: number, workMost: number): number {
  const { price, count } = relaxation;
  const best = { bound: -Infinity, price: price.slice() };
  const direction = new Float64Array(count);
  const until = relaxation.work + workMost;
  let stale = 0;
  for (let step = firstStep; step > leastStep && relaxation.work < until;) {
    const bound = relaxation.sweepBack();
    stale += 1;
    if (bound > best.bound) {
      if (bound > best.bound + progressShare * (goal - best.bound)) stale = 0;
      best.bound = bound;
      best.price.set(price);
    }
    if (bound >= goal) break;
    const used = relaxation.usedByPath();
    if (used.every((times) => times === 1)) break;
    if (stale >= patience) {
      step *= shrink;
      stale = 0;
    }
    let length = 0;
    for (let job = 0; job < count; job += 1) {
      direction[job] = 1 - used[job] + smoothing * direction[job];
      length += direction[job] ** 2;
    }
    if (length === 0) break;
    const scale = (step * (goal - bound)) / length;
    for (let job = 0; job < count; job += 1) price[job] += scale * direction[job];
  }
  price.set(best.price);
  return best.bound;
}
