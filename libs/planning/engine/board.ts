import { earliestAfter, latestBefore, type Demand, type Instance, type Schedule } from './instance.js';
import type { CapacityProfile } from './profile.js';

/** Where a task could go. */
export interface Placement {
  readonly start: number;
  readonly alternative: number;
}

/**
 * A plan in the making: which task is booked where, and what is left free. Every change goes through `book` and
 * `unbook`, so the profiles always equal the calendars minus the booked tasks.
 */
export class Board implements Schedule {
  readonly start: Float64Array;
  readonly alternative: Int32Array;
  private readonly profiles: readonly CapacityProfile[];

  constructor(readonly instance: Instance) {
    this.start = new Float64Array(instance.taskIds.length).fill(-1);
    this.alternative = new Int32Array(instance.taskIds.length);
    this.profiles = instance.calendars.map((calendar) => calendar.clone());
  }

  isPlaced(task: number): boolean {
    return this.start[task] >= 0;
  }

  finish(task: number): number {
    return this.start[task] + this.instance.duration[task];
  }

  book(task: number, start: number, alternative: number): void {
    this.start[task] = start;
    this.alternative[task] = alternative;
    const duration = this.instance.duration[task];
    for (const { resource, units } of this.demands(task, alternative)) {
      this.profiles[resource].reserve(start, duration, units);
    }
  }

  unbook(task: number): void {
    const start = this.start[task];
    const duration = this.instance.duration[task];
    for (const { resource, units } of this.demands(task, this.alternative[task])) {
      this.profiles[resource].release(start, duration, units);
    }
    this.start[task] = -1;
  }

  demands(task: number, alternative: number): readonly Demand[] {
    return this.instance.alternatives[task]?.[alternative] ?? [];
  }

  /** Earliest start as far as the release date and the booked predecessors go. */
  releasedAt(task: number): number {
    let earliest = this.instance.earliest[task];
    for (const link of this.instance.predecessors[task] ?? []) {
      if (this.isPlaced(link.task)) {
        earliest = Math.max(earliest, earliestAfter(this.instance, link, this.finish(link.task)));
      }
    }
    return earliest;
  }

  predecessorsPlaced(task: number): boolean {
    return (this.instance.predecessors[task] ?? []).every((link) => this.isPlaced(link.task));
  }

  fits(task: number, start: number, alternative: number): boolean {
    const duration = this.instance.duration[task];
    return this.demands(task, alternative).every(
      ({ resource, units }) => this.profiles[resource].earliestFit(start, duration, units) === start,
    );
  }

  /** Earliest place from a time on, over the alternatives; the preferred one where they tie. */
  findEarliest(task: number, from: number): Placement | null {
    let best: Placement | null = null;
    for (const alternative of this.allowed(task)) {
      const start = this.earliestStart(task, from, alternative);
      if (start < (best?.start ?? Infinity)) best = { start, alternative };
    }
    return best;
  }

  /** Latest place that ends by a time, over the alternatives or with one of them only. */
  findLatest(task: number, before: number, only?: number): Placement | null {
    let best: Placement | null = null;
    for (const alternative of only === undefined ? this.allowed(task) : [only]) {
      const start = this.latestStart(task, before, alternative);
      if (start > (best?.start ?? -Infinity)) best = { start, alternative };
    }
    return best;
  }

  /** Latest finish that the booked successors leave. */
  requiredBy(task: number): number {
    let latest = Infinity;
    for (const link of this.instance.successors[task] ?? []) {
      if (this.isPlaced(link.task)) {
        latest = Math.min(latest, latestBefore(this.instance, link, this.start[link.task]));
      }
    }
    return latest;
  }

  private allowed(task: number): readonly number[] {
    const leader = this.instance.follows[task];
    if (leader >= 0 && this.isPlaced(leader)) return [this.alternative[leader]];
    return (this.instance.alternatives[task] ?? []).map((_, index) => index);
  }

  private earliestStart(task: number, from: number, alternative: number): number {
    const duration = this.instance.duration[task];
    const demands = this.demands(task, alternative);
    let start = from;
    for (let agreed = 0, i = 0; agreed < demands.length; i = (i + 1) % demands.length) {
      const { resource, units } = demands[i];
      const fit = this.profiles[resource].earliestFit(start, duration, units);
      if (fit === Infinity) return Infinity;
      agreed = fit === start ? agreed + 1 : 1;
      start = fit;
    }
    return start;
  }

  private latestStart(task: number, before: number, alternative: number): number {
    const duration = this.instance.duration[task];
    const demands = this.demands(task, alternative);
    let start = before - duration;
    for (let agreed = 0, i = 0; agreed < demands.length; i = (i + 1) % demands.length) {
      const { resource, units } = demands[i];
      const fit = this.profiles[resource].latestFit(start + duration, duration, units);
      if (fit === -Infinity) return -Infinity;
      agreed = fit === start ? agreed + 1 : 1;
      start = fit;
    }
    return start;
  }
}
