import type { Random } from '../engine/random.js';
import type { Effort } from '../search/effort.js';

/** Jobs on one machine, all there from time 0, no order given: 1 || sum of weighted tardiness. */
export interface Jobs {
  readonly duration: Float64Array;
  readonly due: Float64Array;
  readonly weight: Float64Array;
}

export interface Sequence {
  readonly order: Int32Array;
  readonly cost: number;
}

/** Weighted tardiness of a sequence run without idle time. */
export function sequenceCost({ duration, due, weight }: Jobs, order: Int32Array): number {
  let time = 0;
  let cost = 0;
  for (const job of order) {
    time += duration[job];
    if (time > due[job]) cost += weight[job] * (time - due[job]);
  }
  return cost;
}

const stay = 0;
const moveBack = 1;
const swapEnds = 2;
const moveFront = 3;

/**
 * The best set of independent moves of a sequence: moves on stretches that do not overlap, each one a swap of two jobs
 * or a job moved to another place, chosen together by dynamic programming in one sweep (dynasearch: Congram, Potts,
 * van de Velde 2002; with insertions: Grosso, Della Croce, Tadei 2004).
 */
export class Dynasearch {
  private readonly best: Float64Array;
  private readonly from: Int32Array;
  private readonly kind: Int8Array;
  private readonly completion: Float64Array;
  private readonly base: Float64Array;
  private looked = 0;

  constructor(
    private readonly jobs: Jobs,
    private readonly effort: Effort,
  ) {
    const size = jobs.duration.length + 1;
    this.best = new Float64Array(size);
    this.from = new Int32Array(size);
    this.kind = new Int8Array(size);
    this.completion = new Float64Array(size);
    this.base = new Float64Array(size);
  }

  /** Sweep until no set of moves helps. */
  descend(order: Int32Array): Sequence {
    for (let current = order; ;) {
      const better = this.sweep(current);
      if (!better || this.effort.exhausted) {
        const reached = better ?? current;
        return { order: reached, cost: sequenceCost(this.jobs, reached) };
      }
      current = better;
    }
  }

  /** Null when no set of moves helps, or when the effort ends before all moves are looked at. */
  private sweep(order: Int32Array): Int32Array | null {
    const count = order.length;
    const most = this.effort.left * count;
    this.prepare(order);
    for (let i = 0; i < count; i += 1) {
      this.offer(i + 1, i, stay, this.best[i] + this.base[i + 1] - this.base[i]);
      // One round of moves looks at no more starts than this: the effort is never overdrawn.
      if (this.looked + 3 * count + 6 > most) return this.giveUp(count, most);
      this.tryMovingBack(order, i);
      for (let j = i + 2; j < count; j += 1) {
        if (this.looked + 3 * count + 6 > most) return this.giveUp(count, most);
        this.trySwap(order, i, j);
        this.tryMovingFront(order, i, j);
      }
    }
    this.effort.spendStarts(this.looked, count);
    return this.best[count] < this.base[count] - 1e-9 ? this.rebuilt(order) : null;
  }

  private giveUp(count: number, most: number): null {
    this.effort.spendStarts(most, count);
    return null;
  }

  private prepare(order: Int32Array): void {
    const { duration, due, weight } = this.jobs;
    this.best.fill(Infinity);
    this.best[0] = 0;
    this.looked = order.length;
    for (let x = 0; x < order.length; x += 1) {
      const job = order[x];
      const time = this.completion[x] + duration[job];
      this.completion[x + 1] = time;
      this.base[x + 1] = this.base[x] + (time > due[job] ? weight[job] * (time - due[job]) : 0);
    }
  }

  private offer(to: number, from: number, kind: number, cost: number): void {
    if (cost >= this.best[to]) return;
    this.best[to] = cost;
    this.from[to] = from;
    this.kind[to] = kind;
  }

  /** The job at i goes behind j, for every j: what is jumped over comes earlier. */
  private tryMovingBack(order: Int32Array, i: number): void {
    const { completion, base, best } = this;
    const job = order[i];
    const shift = -this.jobs.duration[job];
    const worst = best[i] + base[order.length] - base[i];
    let cost = best[i];
    for (let j = i + 1; j < order.length && cost < worst; j += 1) {
      cost += this.tardiness(order[j], completion[j + 1] + shift);
      this.offer(j + 1, i, moveBack, cost + this.tardiness(job, completion[j + 1]));
    }
  }

  private trySwap(order: Int32Array, i: number, j: number): void {
    const { duration } = this.jobs;
    const { completion } = this;
    const [first, last] = [order[i], order[j]];
    const ends =
      this.tardiness(last, completion[i] + duration[last]) + this.tardiness(first, completion[j + 1]);
    const cost = this.shifted(
      order,
      i + 1,
      j,
      duration[last] - duration[first],
      this.best[i] + ends,
      this.best[j + 1],
    );
    this.offer(j + 1, i, swapEnds, cost);
  }

  /** The job at j goes in front of i. */
  private tryMovingFront(order: Int32Array, i: number, j: number): void {
    const last = order[j];
    const length = this.jobs.duration[last];
    const head = this.best[i] + this.tardiness(last, this.completion[i] + length);
    this.offer(j + 1, i, moveFront, this.shifted(order, i, j, length, head, this.best[j + 1]));
  }

  /** `cost` plus that of the jobs at from .. to - 1 when they are shifted; given up once it reaches `limit`. */
  private shifted(
    order: Int32Array,
    from: number,
    to: number,
    shift: number,
    cost: number,
    limit: number,
  ): number {
    const { due, weight } = this.jobs;
    const { completion } = this;
    let x = from;
    for (; x < to && cost < limit; x += 1) {
      const job = order[x];
      const late = completion[x + 1] + shift - due[job];
      if (late > 0) cost += weight[job] * late;
    }
    this.looked += x - from + 1;
    return cost;
  }

  private tardiness(job: number, time: number): number {
    this.looked += 1;
    const late = time - this.jobs.due[job];
    return late > 0 ? this.jobs.weight[job] * late : 0;
  }

  private rebuilt(order: Int32Array): Int32Array {
    const made = new Int32Array(order.length);
    for (let end = order.length; end > 0; end = this.from[end]) {
      const i = this.from[end];
      const j = end - 1;
      made.set(order.subarray(i, end), i);
      if (this.kind[end] === swapEnds) [made[i], made[j]] = [order[j], order[i]];
      if (this.kind[end] === moveBack) {
        made.set(order.subarray(i + 1, end), i);
        made[j] = order[i];
      }
      if (this.kind[end] === moveFront) {
        made.set(order.subarray(i, j), i + 1);
        made[i] = order[j];
      }
    }
    return made;
  }
}

/** Tries since the last better sequence after which a search goes back to the best, or moves on from where it is. */
const patience = 60;

/**
 * Iterated dynasearch: descend, shake the sequence with a few random swaps, descend again.
 * Stops at the bound, or when the effort is spent.
 *
 * @param from where to begin; orders by the apparent tardiness cost rule when absent
 */
export function iteratedDynasearch(
  jobs: Jobs,
  effort: Effort,
  bound: () => number,
  random: Random,
  from?: Sequence,
): Sequence {
  const search = new Dynasearch(jobs, effort);
  let current = from ?? bestByRule(jobs, search, effort, bound);
  let top = current;
  for (let since = 0; !effort.exhausted && top.cost > bound(); since += 1) {
    const found = search.descend(shaken(current.order, random));
    if (found.cost < current.cost) since = 0;
    if (found.cost <= current.cost) current = found;
    if (found.cost < top.cost) top = found;
    if (since < patience) continue;
    // Half of the time from the best again, half from somewhere new.
    current = current.cost > top.cost || random.next() < 0.5 ? top : found;
    since = 0;
  }
  return top;
}

/** The best of the descents from apparent tardiness cost orders. */
function bestByRule(jobs: Jobs, search: Dynasearch, effort: Effort, bound: () => number): Sequence {
  let best = search.descend(apparentTardinessOrder(jobs, 2));
  for (const lookAhead of [0.5, 1, 4]) {
    if (effort.exhausted || best.cost <= bound()) break;
    const found = search.descend(apparentTardinessOrder(jobs, lookAhead));
    if (found.cost < best.cost) best = found;
  }
  return best;
}

/** Four to seven swaps of jobs that are at most a quarter of the sequence apart. */
function shaken(order: Int32Array, random: Random): Int32Array {
  const made = order.slice();
  if (made.length < 2) return made;
  const reach = Math.max(2, Math.floor(made.length / 4));
  for (let swaps = 4 + random.below(4); swaps > 0; swaps -= 1) {
    const i = random.below(made.length - 1);
    const j = i + 1 + random.below(Math.min(made.length - 1 - i, reach));
    [made[i], made[j]] = [made[j], made[i]];
  }
  return made;
}

/**
 * Apparent tardiness cost rule (Vepsalainen and Morton 1987): the job with the largest weight per length, discounted
 * by how much time it still has.
 */
export function apparentTardinessOrder({ duration, due, weight }: Jobs, lookAhead: number): Int32Array {
  const count = duration.length;
  const left = new Set(Array.from({ length: count }, (_, job) => job));
  const order = new Int32Array(count);
  let total = 0;
  for (const length of duration) total += length;
  const scale = Math.max(lookAhead * (total / Math.max(1, count)), 1e-9);
  let time = 0;
  for (let at = 0; at < count; at += 1) {
    let best = -1;
    let most = -Infinity;
    for (const job of left) {
      const room = Math.max(0, due[job] - duration[job] - time);
      const worth =
        weight[job] === 0 ? -room : (weight[job] / Math.max(duration[job], 1e-9)) * Math.exp(-room / scale);
      if (worth > most || best < 0) {
        most = worth;
        best = job;
      }
    }
    order[at] = best;
    left.delete(best);
    time += duration[best];
  }
  return order;
}
