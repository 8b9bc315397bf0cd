import { SerialGenerator } from '../engine/generator.js';
import type { Instance } from '../engine/instance.js';
import { mirrored } from '../engine/mirror.js';
import type { Windows } from '../engine/windows.js';
import type { Effort } from './effort.js';

export type Objective = 'makespan' | 'weightedTardiness';

/** One generated schedule; in a mirrored one time runs backwards from the horizon. */
export interface Individual {
  readonly start: Float64Array;
  readonly isMirrored: boolean;
  /** The objective; for a mirrored schedule, the makespan it promises when it is shifted to where it may begin. */
  readonly value: number;
  /** Time units by which tasks miss the latest finish that pinned tasks leave them; 0 is feasible. */
  readonly violation: number;
}

/** Whether a is at least as good as b. */
export function notWorse(a: Individual, b: Individual): boolean {
  return a.violation < b.violation || (a.violation === b.violation && a.value <= b.value);
}

/** Turns task lists into schedules in either direction, counts them, and remembers the best feasible one. */
export class Decoder {
  best: Individual | null = null;
  private readonly forwardGenerator: SerialGenerator;
  private readonly backwardGenerator: SerialGenerator;
  private readonly rank: Float64Array;
  private readonly release: Float64Array;

  constructor(
    readonly instance: Instance,
    readonly windows: Windows,
    readonly objective: Objective,
    readonly effort: Effort,
  ) {
    this.forwardGenerator = new SerialGenerator(instance);
    this.backwardGenerator = new SerialGenerator(mirrored(instance, windows.horizon));
    this.rank = new Float64Array(instance.taskIds.length);
    instance.topological.forEach((task, position) => {
      this.rank[task] = position;
    });
    this.release = new Float64Array(instance.taskIds.length);
  }

  /** Whether the effort is spent or nothing better can come. */
  isDone(bound: number): boolean {
    return this.effort.exhausted || (this.best !== null && this.best.value <= bound);
  }

  /** Everything as early as the order of the list lets it. */
  forward(list: ArrayLike<number>): Individual {
    this.effort.spend();
    const { instance, windows } = this;
    const start = new Float64Array(list.length);
    this.forwardGenerator.generate(list, windows.earliest, start);
    let violation = 0;
    for (let task = 0; task < start.length; task += 1) {
      violation += Math.max(0, start[task] + instance.duration[task] - windows.latestFinish[task]);
    }
    const made = { start, isMirrored: false, value: objectiveOf(instance, this.objective, start), violation };
    if (violation === 0 && (!this.best || made.value < this.best.value)) this.best = made;
    return made;
  }

  /**
   * Everything as late as the order of the list lets it, each task ending by its limit.
   * The value is what the objective would be if the whole were then shifted to where it may begin.
   */
  backward(list: ArrayLike<number>, finishBy: number | Float64Array): Individual {
    this.effort.spend();
    const { instance, windows, release } = this;
    const { horizon, latestFinish, earliest } = windows;
    const { duration } = instance;
    for (let task = 0; task < list.length; task += 1) {
      const limit = typeof finishBy === 'number' ? finishBy : finishBy[task];
      release[task] = Math.max(0, horizon - Math.min(limit, latestFinish[task]));
    }
    const start = new Float64Array(list.length);
    this.backwardGenerator.generate(list, release, start);
    let early = -Infinity;
    for (let task = 0; task < list.length; task += 1) {
      early = Math.max(early, earliest[task] - (horizon - start[task] - duration[task]));
    }
    let value = 0;
    for (let task = 0; task < list.length; task += 1) {
      const finish = horizon - start[task] + early;
      if (this.objective === 'makespan') value = Math.max(value, finish);
      else if (finish > instance.due[task]) value += instance.weight[task] * (finish - instance.due[task]);
    }
    return { start, isMirrored: true, value, violation: 0 };
  }

  /** Latest finishes that leave the objective of a forward schedule as it is, or its makespan. */
  limitsOf({ start }: Individual): number | Float64Array {
    const { duration, due } = this.instance;
    let end = 0;
    for (let task = 0; task < start.length; task += 1) end = Math.max(end, start[task] + duration[task]);
    if (this.objective === 'makespan') return end;
    return start.map((time, task) => Math.min(end, Math.max(time + duration[task], due[task])));
  }

  /** The list that carries a schedule over into the other direction: by finish, the last first. */
  reversedOrder(individual: Individual): Int32Array {
    const { duration } = this.instance;
    const { start, isMirrored } = individual;
    const tie = isMirrored ? 1 : -1;
    return sortedBy(start.length, (a, b) => {
      const byFinish = start[b] + duration[b] - start[a] - duration[a];
      return byFinish !== 0 ? byFinish : tie * (this.rank[a] - this.rank[b]);
    });
  }

  /** The list by start in the schedule's own direction. */
  order(individual: Individual): Int32Array {
    const { start, isMirrored } = individual;
    const tie = isMirrored ? -1 : 1;
    return sortedBy(start.length, (a, b) => {
      const byStart = start[a] - start[b];
      return byStart !== 0 ? byStart : tie * (this.rank[a] - this.rank[b]);
    });
  }
}

function sortedBy(count: number, compare: (a: number, b: number) => number): Int32Array {
  return Int32Array.from({ length: count }, (_, task) => task).sort(compare);
}

/** Makespan, or the sum of weight times lateness over the tasks with a due date. Infinity if a task has no place. */
export function objectiveOf(instance: Instance, objective: Objective, start: Float64Array): number {
  const { duration, due, weight } = instance;
  let value = 0;
  for (let task = 0; task < start.length; task += 1) {
    const finish = start[task] + duration[task];
    if (objective === 'makespan' || finish === Infinity) value = Math.max(value, finish);
    else if (finish > due[task]) value += weight[task] * (finish - due[task]);
  }
  return value;
}
