import type { Jobs } from './dynasearch.js';

/** Which jobs come before which in some best sequence, closed under "before". */
export interface JobOrder {
  /** isBefore[a * count + b] = 1: a comes before b. */
  readonly isBefore: Uint8Array;
  /** Total length of what comes before, and after, each job. */
  readonly before: Float64Array;
  readonly after: Float64Array;
}

/**
 * Orders that some sequence of least weighted tardiness keeps, all of them at once (Emmons 1969; with weights: Rinnooy
 * Kan, Lageweg, Lenstra 1975). Applied until nothing new follows.
 */
export function knownOrders({ duration, due, weight }: Jobs): JobOrder {
  const count = duration.length;
  const isBefore = new Uint8Array(count * count);
  const before = new Float64Array(count);
  const after = new Float64Array(count);
  const total = duration.reduce((sum, length) => sum + length, 0);
  const mustPrecede = (a: number, b: number): boolean => {
    const until = total - after[a];
    if (
      duration[a] <= duration[b] &&
      weight[a] >= weight[b] &&
      due[a] <= Math.max(due[b], before[b] + duration[b])
    ) {
      return true;
    }
    return due[b] >= until || (weight[a] >= weight[b] && due[a] <= due[b] && due[b] >= until - duration[b]);
  };
  for (let changed = true; changed;) {
    changed = false;
    for (let a = 0; a < count; a += 1) {
      for (let b = 0; b < count; b += 1) {
        if (a === b || isBefore[a * count + b] || isBefore[b * count + a]) continue;
        if (!mustPrecede(a, b)) continue;
        addOrder({ isBefore, before, after }, duration, a, b);
        changed = true;
      }
    }
  }
  return { isBefore, before, after };
}

/** a and all before it come before b and all after it. */
function addOrder({ isBefore, before, after }: JobOrder, duration: Float64Array, a: number, b: number): void {
  const count = duration.length;
  const first = [a];
  const last = [b];
  for (let job = 0; job < count; job += 1) {
    if (isBefore[job * count + a]) first.push(job);
    if (isBefore[b * count + job]) last.push(job);
  }
  for (const early of first) {
    for (const late of last) {
      if (isBefore[early * count + late]) continue;
      isBefore[early * count + late] = 1;
      before[late] += duration[early];
      after[early] += duration[late];
    }
  }
}
