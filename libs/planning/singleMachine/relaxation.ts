import type { Jobs } from './dynasearch.js';
import type { JobOrder } from './precedence.js';

const nobody = -1;

/**
 * One machine with the rule "each job exactly once" relaxed into prices per job (Lagrangian relaxation): a path through
 * time in which jobs may come again or not at all. Two neighbours are allowed only if they differ, if no known order
 * forbids them, and if swapping them would not cost less. The cheapest path is a lower bound on every sequence
 * (Abdul-Razaq and Potts 1988; the way to raise it and to use it: Tanaka, Fujikuma, Araki 2009).
 *
 * Nodes are (job, its finish); tables are indexed finish * count + job.
 */
export class Relaxation {
  readonly count: number;
  readonly total: number;
  readonly price: Float64Array;
  /** 1 where a job may start at a time; indexed start * count + job. */
  readonly mayStart: Uint8Array;
  /** Least priced cost from a node to the end. */
  readonly toEnd: Float64Array;
  /** Elementary steps taken so far. */
  work = 0;
  private readonly next: Int16Array;
  private readonly used: Int32Array;

  constructor(
    private readonly jobs: Jobs,
    private readonly order: JobOrder,
  ) {
    this.count = jobs.duration.length;
    this.total = jobs.duration.reduce((sum, length) => sum + length, 0);
    const size = (this.total + 1) * this.count;
    this.price = new Float64Array(this.count);
    this.toEnd = new Float64Array(size);
    this.next = new Int16Array(size);
    this.used = new Int32Array(this.count);
    this.mayStart = new Uint8Array(size);
    for (let job = 0; job < this.count; job += 1) {
      const last = this.total - order.after[job] - jobs.duration[job];
      for (let start = order.before[job]; start <= last; start += 1)
        this.mayStart[start * this.count + job] = 1;
    }
  }

  /** Whether `second` may follow `first`, which ends at a time. */
  mayFollow(first: number, second: number, time: number): boolean {
    if (first === second || this.order.isBefore[second * this.count + first]) return false;
    const { duration } = this.jobs;
    const begin = time - duration[first];
    const end = time + duration[second];
    const asIs = this.cost(first, time) + this.cost(second, end);
    return asIs <= this.cost(second, begin + duration[second]) + this.cost(first, end) + 1e-9;
  }

  cost(job: number, finish: number): number {
    const late = finish - this.jobs.due[job];
    return late > 0 ? this.jobs.weight[job] * late : 0;
  }

  /** Fill `toEnd` for the present prices. @returns the lower bound they give */
  sweepBack(): number {
    const { count, total, toEnd, next, price } = this;
    toEnd.fill(0, total * count, (total + 1) * count);
    const value = new Float64Array(count);
    const ranked = Int16Array.from({ length: count }, (_, job) => job);
    for (let time = total - 1; time > 0; time -= 1) {
      this.rank(time, value, ranked);
      for (let job = 0; job < count; job += 1) {
        const at = time * count + job;
        toEnd[at] = Infinity;
        next[at] = nobody;
        if (!this.canEndAt(job, time)) continue;
        for (let position = 0; position < count; position += 1) {
          const follower = ranked[position];
          if (value[follower] === Infinity) break;
          this.work += 1;
          if (!this.mayFollow(job, follower, time)) continue;
          toEnd[at] = value[follower];
          next[at] = follower;
          break;
        }
      }
    }
    this.rank(0, value, ranked);
    toEnd[0] = value[ranked[0]];
    next[0] = ranked[0];
    return toEnd[0] + price.reduce((sum, one) => sum + one, 0);
  }

  /** How often the cheapest path of the last sweep uses each job. */
  usedByPath(): Int32Array {
    const { count, total, next, used } = this;
    used.fill(0);
    for (let time = 0, job = 0; time < total;) {
      job = next[time * count + job];
      if (job === nobody) break;
      used[job] += 1;
      time += this.jobs.duration[job];
    }
    return used;
  }

  /** After a sweep: forbid the starts through which no path stays at or under a limit. */
  prune(limit: number): void {
    const { count, total, toEnd, price } = this;
    const { duration } = this.jobs;
    const sum = price.reduce((all, one) => all + one, 0);
    const fromStart = new Float64Array((total + 1) * count).fill(Infinity);
    const ends: number[] = [];
    for (let time = 0; time < total; time += 1) {
      ends.length = 0;
      for (let job = 0; job < count; job += 1) if (fromStart[time * count + job] < Infinity) ends.push(job);
      ends.sort((a, b) => fromStart[time * count + a] - fromStart[time * count + b]);
      for (let job = 0; job < count; job += 1) {
        const start = time * count + job;
        if (!this.mayStart[start]) continue;
        this.work += 1;
        const end = time + duration[job];
        const before = time === 0 ? 0 : this.cheapestBefore(ends, fromStart, job, time);
        const cost = before + this.cost(job, end) - price[job];
        fromStart[end * count + job] = cost;
        if (cost + toEnd[end * count + job] + sum > limit) this.mayStart[start] = 0;
      }
    }
  }

  private cheapestBefore(
    ends: readonly number[],
    fromStart: Float64Array,
    job: number,
    time: number,
  ): number {
    for (const earlier of ends) {
      this.work += 1;
      if (this.mayFollow(earlier, job, time)) return fromStart[time * this.count + earlier];
    }
    return Infinity;
  }

  private canEndAt(job: number, time: number): boolean {
    const start = time - this.jobs.duration[job];
    return start >= 0 && this.mayStart[start * this.count + job] === 1;
  }

  /** Priced cost to the end of starting each job at a time, and the jobs by it; nearly sorted from the time before. */
  private rank(time: number, value: Float64Array, ranked: Int16Array): void {
    const { count, toEnd, price, mayStart } = this;
    const { duration } = this.jobs;
    for (let job = 0; job < count; job += 1) {
      if (mayStart[time * count + job]) {
        const end = time + duration[job];
        value[job] = this.cost(job, end) - price[job] + toEnd[end * count + job];
      } else value[job] = Infinity;
    }
    for (let position = 1; position < count; position += 1) {
      const job = ranked[position];
      let to = position - 1;
      while (to >= 0 && value[ranked[to]] > value[job]) {
        ranked[to + 1] = ranked[to];
        to -= 1;
      }
      ranked[to + 1] = job;
      this.work += position - to;
    }
  }
}
