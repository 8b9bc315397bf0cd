import type { Demand, Instance } from '../engine/instance.js';
import type { Windows } from '../engine/windows.js';

/** More tasks than this make the test too slow for what it gains. */
const tasksMost = 70;
/** Makespans tried before the bound is left where it is. */
const triesMost = 40;

/**
 * Raise a lower bound on the makespan by showing that ending by it is impossible (destructive improvement, Klein and
 * Scholl 1999): assume the end, narrow every task's window by what that implies, and look for a contradiction. The first
 * end that cannot be refuted is the new bound.
 */
export function destructiveBound(instance: Instance, windows: Windows, bound: number, best: number): number {
  if (instance.taskIds.length > tasksMost || bound >= best) return bound;
  const test = new EndTest(instance, windows);
  let end = bound;
  for (let tries = 0; end < best && tries < triesMost && test.refutes(end); tries += 1) end += 1;
  return end;
}

interface Use {
  readonly task: number;
  readonly units: number;
}

class EndTest {
  private readonly count: number;
  private readonly release: Float64Array;
  private readonly deadline: Float64Array;
  /** Users of each resource. Calendars count as their fullest: closing more only makes an end harder. */
  private readonly users: readonly (readonly Use[])[];
  private readonly capacity: readonly number[];
  private readonly apart: readonly (readonly [number, number])[];
  private changed = false;

  constructor(
    private readonly instance: Instance,
    private readonly windows: Windows,
  ) {
    this.count = instance.taskIds.length;
    this.release = new Float64Array(this.count);
    this.deadline = new Float64Array(this.count);
    this.capacity = instance.calendars.map((calendar) => calendar.most);
    this.users = instance.calendars.map((_, resource) =>
      instance.alternatives.flatMap(([demands = []], task) => {
        const units = unitsOf(demands, resource);
        return units > 0 && instance.duration[task] > 0 ? [{ task, units }] : [];
      }),
    );
    this.apart = this.pairsApart();
  }

  /** Whether no schedule is over by `end`. False is no proof that there is one. */
  refutes(end: number): boolean {
    this.release.set(this.windows.earliest);
    for (let task = 0; task < this.count; task += 1)
      this.deadline[task] = Math.min(end, this.windows.latestFinish[task]);
    for (this.changed = true; this.changed;) {
      this.changed = false;
      this.alongNetwork();
      if (this.hasEmptyWindow() || !this.orderPairs() || !this.aroundFixedParts() || this.hasEmptyWindow())
        return true;
    }
    return this.users.some((users, resource) => {
      const capacity = this.capacity[resource];
      // Tasks of more than half the capacity each run one at a time, as on a machine of their own.
      const alone = users.filter(({ units }) => 2 * units > capacity).map(({ task }) => ({ task, units: 1 }));
      return this.needsTooMuch(users, capacity) || this.needsTooMuch(alone, 1);
    });
  }

  private setRelease(task: number, time: number): void {
    if (time <= this.release[task]) return;
    this.release[task] = time;
    this.changed = true;
  }

  private setDeadline(task: number, time: number): void {
    if (time >= this.deadline[task]) return;
    this.deadline[task] = time;
    this.changed = true;
  }

  private alongNetwork(): void {
    const { topological, predecessors, successors, duration } = this.instance;
    for (const task of topological) {
      for (const link of predecessors[task])
        this.setRelease(task, this.release[link.task] + duration[link.task] + link.lag);
    }
    for (let at = this.count - 1; at >= 0; at -= 1) {
      const task = topological[at];
      for (const link of successors[task])
        this.setDeadline(task, this.deadline[link.task] - duration[link.task] - link.lag);
    }
  }

  private hasEmptyWindow(): boolean {
    const { duration } = this.instance;
    for (let task = 0; task < this.count; task += 1) {
      if (this.release[task] + duration[task] > this.deadline[task]) return true;
    }
    return false;
  }

  /** Two tasks that cannot run at once: where only one order fits, it holds. @returns false when neither fits */
  private orderPairs(): boolean {
    const { duration } = this.instance;
    for (const [a, b] of this.apart) {
      const together = duration[a] + duration[b];
      const aFirst = this.release[a] + together <= this.deadline[b];
      const bFirst = this.release[b] + together <= this.deadline[a];
      if (!aFirst && !bFirst) return false;
      if (aFirst !== bFirst) {
        const [first, second] = aFirst ? [a, b] : [b, a];
        this.setRelease(second, this.release[first] + duration[first]);
        this.setDeadline(first, this.deadline[second] - duration[second]);
      }
    }
    return true;
  }

  /**
   * A task with little room certainly runs in the middle of its window; others must find place around those parts.
   * @returns false when the parts alone are too much
   */
  private aroundFixedParts(): boolean {
    return this.users.every((users, resource) => {
      const capacity = this.capacity[resource];
      const parts = users
        .map(({ task, units }) => ({
          task,
          units,
          from: this.deadline[task] - this.instance.duration[task],
          to: this.release[task] + this.instance.duration[task],
        }))
        .filter(({ from, to }) => from < to);
      const used = (time: number, except: number): number => {
        let sum = 0;
        for (const part of parts)
          if (part.task !== except && part.from <= time && time < part.to) sum += part.units;
        return sum;
      };
      if (parts.some(({ from }) => used(from, -1) > capacity)) return false;
      for (const { task, units } of users) this.pushBehind(task, capacity - units, parts, used);
      return true;
    });
  }

  /** Move a release behind the fixed parts that leave the task too little. */
  private pushBehind(
    task: number,
    room: number,
    parts: readonly { readonly task: number; readonly from: number; readonly to: number }[],
    used: (time: number, except: number) => number,
  ): void {
    const length = this.instance.duration[task];
    for (let moved = true; moved;) {
      moved = false;
      const start = this.release[task];
      for (const part of parts) {
        if (part.task === task || part.to <= start || part.from >= start + length) continue;
        const time = Math.max(part.from, start);
        if (used(time, task) <= room) continue;
        // Too much goes on until at least the first of the parts running then is over.
        const running = parts.filter((one) => one.task !== task && one.from <= time && time < one.to);
        this.setRelease(task, Math.min(...running.map(({ to }) => to)));
        moved = this.release[task] > start;
        break;
      }
    }
  }

  /** Energy: in some stretch the tasks need more than there is, however they are shifted in their windows. */
  private needsTooMuch(users: readonly Use[], capacity: number): boolean {
    const begins = [...new Set(users.map(({ task }) => this.release[task]))];
    const ends = [...new Set(users.map(({ task }) => this.deadline[task]))];
    return begins.some((from) =>
      ends.some((to) => from < to && this.leastWork(users, from, to) > capacity * (to - from)),
    );
  }

  private leastWork(users: readonly Use[], from: number, to: number): number {
    const { duration } = this.instance;
    let work = 0;
    for (const { task, units } of users) {
      const early = this.release[task] + duration[task] - from;
      const late = to - (this.deadline[task] - duration[task]);
      work += units * Math.max(0, Math.min(early, late, duration[task], to - from));
    }
    return work;
  }

  /** Pairs that ask for more than there is of some resource. */
  private pairsApart(): [number, number][] {
    const pairs = new Map<number, [number, number]>();
    this.users.forEach((users, resource) => {
      users.forEach((one, index) => {
        for (const other of users.slice(index + 1)) {
          if (one.units + other.units > this.capacity[resource]) {
            pairs.set(one.task * this.count + other.task, [one.task, other.task]);
          }
        }
      });
    });
    return [...pairs.values()];
  }
}

function unitsOf(demands: readonly Demand[], resource: number): number {
  return demands.find((demand) => demand.resource === resource)?.units ?? 0;
}
