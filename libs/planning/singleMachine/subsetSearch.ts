import { Layer } from './layer.js';
import type { Jobs } from './dynasearch.js';
import type { JobOrder } from './precedence.js';
import type { Relaxation } from './relaxation.js';

export interface SubsetResult {
  /** Every sequence was looked at or shown to be no better. */
  readonly complete: boolean;
  /** A sequence at or under the limit, if there is one; the best one when complete. */
  readonly order: Int32Array | null;
}

/**
 * Dynamic programming over sets of jobs done, set by set of equal size, leaving out every set from which the relaxation
 * shows that no sequence stays at or under the limit. What a set has cost is all that matters of it (Held and Karp
 * 1962), so one sequence per set is enough.
 *
 * @param limit sequences that cost more are of no interest
 * @param statesMost sets that may be kept in all
 */
export function subsetSearch(
  problem: { jobs: Jobs; order: JobOrder; relaxation: Relaxation },
  limit: number,
  statesMost: number,
): SubsetResult {
  const search = new SubsetSearch(problem.jobs, problem.order, problem.relaxation, limit);
  for (let size = 0; size < search.count; size += 1) {
    if (search.states > statesMost) return { complete: false, order: null };
    if (!search.extend()) return { complete: true, order: null };
  }
  return { complete: true, order: search.cheapest() };
}

class SubsetSearch {
  readonly count: number;
  states = 0;
  private readonly words: number;
  private readonly needed: readonly Int32Array[];
  private readonly layers: Layer[];
  private readonly made: Int32Array;

  constructor(
    private readonly jobs: Jobs,
    order: JobOrder,
    private readonly relaxation: Relaxation,
    private readonly limit: number,
  ) {
    this.count = jobs.duration.length;
    this.words = Math.ceil(this.count / 32);
    this.made = new Int32Array(this.words);
    this.needed = Array.from({ length: this.count }, (_, job) => {
      const mask = new Int32Array(this.words);
      for (let before = 0; before < this.count; before += 1) {
        if (order.isBefore[before * this.count + job]) mask[before >> 5] |= 1 << (before & 31);
      }
      return mask;
    });
    const start = new Layer(this.words);
    const priceLeft = relaxation.price.reduce((sum, price) => sum + price, 0);
    start.add(this.made, { cost: 0, time: 0, priceLeft, last: -1, parent: -1 });
    this.layers = [start];
  }

  /** Make the sets with one job more. @returns whether there are any */
  extend(): boolean {
    const { relaxation, count } = this;
    const from = this.layers[this.layers.length - 1];
    const to = new Layer(this.words);
    for (let state = 0; state < from.length; state += 1) {
      const row = from.time[state] * count;
      for (let job = 0; job < count; job += 1)
        if (relaxation.mayStart[row + job]) this.extendBy(from, state, job, to);
    }
    from.forgetIndex();
    this.layers.push(to);
    this.states += to.length;
    return to.length > 0;
  }

  /** The cheapest of the last sets as a sequence. */
  cheapest(): Int32Array {
    const order = new Int32Array(this.count);
    const final = this.layers[this.layers.length - 1];
    let state = 0;
    for (let other = 1; other < final.length; other += 1)
      if (final.cost[other] < final.cost[state]) state = other;
    for (let size = this.count; size > 0; size -= 1) {
      const layer = this.layers[size];
      order[size - 1] = layer.last[state];
      state = layer.parent[state];
    }
    return order;
  }

  private extendBy(from: Layer, state: number, job: number, to: Layer): void {
    const { relaxation, count, words, made } = this;
    const needed = this.needed[job];
    const base = state * words;
    const bit = 1 << (job & 31);
    if (from.sets[base + (job >> 5)] & bit) return;
    for (let word = 0; word < words; word += 1) if (needed[word] & ~from.sets[base + word]) return;
    const time = from.time[state];
    const last = from.last[state];
    if (last >= 0 && !relaxation.mayFollow(last, job, time)) return;
    const end = time + this.jobs.duration[job];
    const cost = from.cost[state] + relaxation.cost(job, end);
    const priceLeft = from.priceLeft[state] - relaxation.price[job];
    if (cost + relaxation.toEnd[end * count + job] + priceLeft > this.limit) return;
    for (let word = 0; word < words; word += 1) made[word] = from.sets[base + word];
    made[job >> 5] |= bit;
    const known = to.find(made);
    if (known < 0) {
      to.add(made, { cost, time: end, priceLeft, last: job, parent: state });
    } else if (cost < to.cost[known]) {
      to.cost[known] = cost;
      to.last[known] = job;
      to.parent[known] = state;
    }
  }
}
