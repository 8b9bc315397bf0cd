import { earliestAfter, type Demand, type Instance } from './instance.js';
import type { CapacityProfile } from './profile.js';

/**
 * The serial schedule generation scheme: take the tasks of a list one by one, and put each at the earliest time that
 * its release, its predecessors and what is still free allow.
 *
 * Every active schedule comes from some list, and for makespan and weighted tardiness some active schedule is best
 * (Kolisch 1996; calendars change nothing in the argument, pinned tasks are booked beforehand).
 * One call is one schedule in the sense of Hartmann and Kolisch: each task gets one start.
 */
export class SerialGenerator {
  private readonly base: readonly CapacityProfile[];
  private readonly free: readonly CapacityProfile[];
  private readonly demands: readonly (readonly Demand[])[];

  /** @param instance each task with a single alternative */
  constructor(readonly instance: Instance) {
    this.base = instance.calendars.map((calendar) => calendar.clone());
    this.demands = instance.alternatives.map(([only]) => only ?? []);
    instance.fixedStart.forEach((start, task) => {
      if (start < 0) return;
      for (const { resource, units } of this.demands[task]) {
        this.base[resource].reserve(start, instance.duration[task], units);
      }
    });
    this.free = this.base.map((profile) => profile.clone());
  }

  /**
   * @param list every task once, each after its predecessors; pinned tasks may stand anywhere
   * @param earliest release per task; the instance's own, or later
   * @param start filled with the starts; Infinity where the calendars hold no room
   */
  generate(list: ArrayLike<number>, earliest: Float64Array, start: Float64Array): void {
    const { instance, free, base } = this;
    const { duration, fixedStart, predecessors } = instance;
    for (let resource = 0; resource < base.length; resource += 1) free[resource].copyFrom(base[resource]);
    for (let position = 0; position < list.length; position += 1) {
      const task = list[position];
      if (fixedStart[task] >= 0) {
        start[task] = fixedStart[task];
        continue;
      }
      let from = earliest[task];
      for (const link of predecessors[task]) {
        const pinned = fixedStart[link.task];
        const finish = (pinned >= 0 ? pinned : start[link.task]) + duration[link.task];
        from = Math.max(from, earliestAfter(instance, link, finish));
      }
      start[task] = this.place(task, from);
    }
  }

  private place(task: number, from: number): number {
    const demands = this.demands[task];
    const duration = this.instance.duration[task];
    let start = from;
    for (let agreed = 0, i = 0; agreed < demands.length; i = i + 1 === demands.length ? 0 : i + 1) {
      const { resource, units } = demands[i];
      const fit = this.free[resource].earliestFit(start, duration, units);
      if (fit === Infinity) return Infinity;
      agreed = fit === start ? agreed + 1 : 1;
      start = fit;
    }
    if (start === Infinity) return Infinity;
    for (const { resource, units } of demands) this.free[resource].reserve(start, duration, units);
    return start;
  }
}
