import { tailsOf } from '../bounds/criticalPath.js';
import { earliestAfter, type Demand, type Instance } from '../engine/instance.js';
import type { CapacityProfile } from '../engine/profile.js';
import { calendarsWithPins, type Windows } from '../engine/windows.js';
import type { Objective } from '../search/decoder.js';
import type { Effort } from '../search/effort.js';
import { PartialSchedules } from './partialSchedules.js';

export interface BranchResult {
  /** Best starts found that are better than `below`; null if none was. */
  readonly start: Float64Array | null;
  readonly value: number;
  /** Whether every schedule was looked at or shown to be no better. */
  readonly complete: boolean;
}

/**
 * Look at all active schedules, task by task in order of start, and leave out what cannot be better than the best so
 * far (precedence tree: Patterson et al. 1989, with the left-shift and cut-set rules of Demeulemeester and Herroelen
 * 1992). Each task gets the earliest start the tasks before it leave; for makespan and weighted tardiness one of the
 * schedules made that way is best. Stops when the effort is spent.
 *
 * @param below only schedules with a smaller objective count
 */
export function branchAndBound(
  problem: { instance: Instance; windows: Windows; objective: Objective },
  below: number,
  effort: Effort,
): BranchResult {
  const search = new Branching(problem.instance, problem.windows, problem.objective, below, effort);
  const complete = search.run();
  return { start: search.best, value: search.below, complete };
}

class Branching {
  best: Float64Array | null = null;
  private readonly count: number;
  private readonly free: readonly CapacityProfile[];
  private readonly demands: readonly (readonly Demand[])[];
  private readonly tail: Float64Array;
  private readonly start: Float64Array;
  private readonly waiting: Int32Array;
  private readonly seen: PartialSchedules;
  private placed = 0;

  constructor(
    private readonly instance: Instance,
    private readonly windows: Windows,
    private readonly objective: Objective,
    public below: number,
    private readonly effort: Effort,
  ) {
    this.count = instance.taskIds.length;
    this.free = calendarsWithPins(instance);
    this.demands = instance.alternatives.map(([only]) => only ?? []);
    this.tail = tailsOf(instance);
    this.start = new Float64Array(this.count).fill(-1);
    this.waiting = Int32Array.from(instance.predecessors, (links) => links.length);
    this.seen = new PartialSchedules(instance);
    instance.fixedStart.forEach((time, task) => {
      if (time >= 0) this.put(task, time);
    });
  }

  /** @returns whether the search came to its end */
  run(): boolean {
    return this.explore(0, this.costOfPlaced());
  }

  private explore(floor: number, cost: number): boolean {
    if (this.placed === this.count) {
      if (cost < this.below) {
        this.below = cost;
        this.best = this.start.slice();
      }
      return true;
    }
    // A look at the bound and one at the choices cost a schedule each at most: the effort is never overdrawn.
    if (this.effort.left < 2) return false;
    if (this.boundBelow(floor, cost) >= this.below) return true;
    if (this.seen.isDominated(this.start, floor, cost)) return true;
    for (const { task, time } of this.choices(floor)) {
      this.take(task, time);
      const finished = this.explore(time, this.costWith(cost, task, time));
      this.giveBack(task, time);
      if (!finished) return false;
    }
    return true;
  }

  /** Tasks that may come next without one being pushed to the left afterwards, the earliest start first. */
  private choices(floor: number): { task: number; time: number }[] {
    const { instance, windows } = this;
    const choices: { task: number; time: number }[] = [];
    let looked = 0;
    for (let task = 0; task < this.count; task += 1) {
      if (this.start[task] >= 0 || this.waiting[task] > 0) continue;
      const time = this.firstFit(task);
      looked += 1;
      if (time < floor || time + instance.duration[task] > windows.latestFinish[task]) continue;
      if (time < Infinity) choices.push({ task, time });
    }
    this.effort.spendStarts(looked, this.count);
    const urgency = (task: number): number => Math.min(this.windows.latestFinish[task], -this.tail[task]);
    return choices.sort((a, b) => a.time - b.time || urgency(a.task) - urgency(b.task) || a.task - b.task);
  }

  private firstFit(task: number): number {
    const duration = this.instance.duration[task];
    const demands = this.demands[task];
    let start = this.earliest(task);
    for (let agreed = 0, i = 0; agreed < demands.length; i = (i + 1) % demands.length) {
      const { resource, units } = demands[i];
      const fit = this.free[resource].earliestFit(start, duration, units);
      if (fit === Infinity) return Infinity;
      agreed = fit === start ? agreed + 1 : 1;
      start = fit;
    }
    return start;
  }

  /** Earliest start that the placed predecessors leave. */
  private earliest(task: number): number {
    let earliest = this.windows.earliest[task];
    for (const link of this.instance.predecessors[task]) {
      if (this.start[link.task] < 0) continue;
      const finish = this.start[link.task] + this.instance.duration[link.task];
      earliest = Math.max(earliest, earliestAfter(this.instance, link, finish));
    }
    return earliest;
  }

  /** No completion of what is placed costs less. Infinity when a task can no longer keep its latest finish. */
  private boundBelow(floor: number, cost: number): number {
    const { duration, due, weight } = this.instance;
    let bound = cost;
    // Without a search for a gap a start costs about a third.
    this.effort.spendStarts((this.count - this.placed) / 3, this.count);
    for (let task = 0; task < this.count; task += 1) {
      if (this.start[task] >= 0) continue;
      const finish = Math.max(floor, this.earliest(task)) + duration[task];
      if (finish > this.windows.latestFinish[task]) return Infinity;
      if (this.objective === 'makespan') bound = Math.max(bound, finish + this.tail[task]);
      else if (finish > due[task]) bound += weight[task] * (finish - due[task]);
    }
    return this.objective === 'makespan' ? Math.max(bound, this.workBound(floor)) : bound;
  }

  /** End of the work that is left on each resource. */
  private workBound(floor: number): number {
    const work = new Float64Array(this.free.length);
    for (let task = 0; task < this.count; task += 1) {
      if (this.start[task] >= 0) continue;
      for (const { resource, units } of this.demands[task])
        work[resource] += units * this.instance.duration[task];
    }
    let bound = 0;
    work.forEach((amount, resource) => {
      if (amount > 0) bound = Math.max(bound, this.free[resource].enoughAt(floor, amount));
    });
    return bound;
  }

  private costOfPlaced(): number {
    let cost = 0;
    this.start.forEach((time, task) => {
      if (time >= 0) cost = this.costWith(cost, task, time);
    });
    return cost;
  }

  private costWith(cost: number, task: number, time: number): number {
    const finish = time + this.instance.duration[task];
    if (this.objective === 'makespan') return Math.max(cost, finish);
    return cost + this.instance.weight[task] * Math.max(0, finish - this.instance.due[task]);
  }

  private take(task: number, time: number): void {
    for (const { resource, units } of this.demands[task]) {
      this.free[resource].reserve(time, this.instance.duration[task], units);
    }
    this.put(task, time);
  }

  private put(task: number, time: number): void {
    this.start[task] = time;
    this.placed += 1;
    for (const link of this.instance.successors[task]) this.waiting[link.task] -= 1;
  }

  private giveBack(task: number, time: number): void {
    for (const { resource, units } of this.demands[task]) {
      this.free[resource].release(time, this.instance.duration[task], units);
    }
    this.start[task] = -1;
    this.placed -= 1;
    for (const link of this.instance.successors[task]) this.waiting[link.task] += 1;
  }
}
