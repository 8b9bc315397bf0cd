import type { CapacityProfile } from './profile.js';

/** So many units of one resource, for as long as the task runs. */
export interface Demand {
  readonly resource: number;
  readonly units: number;
}

/** A task that has to be over before another begins. */
export interface Link {
  readonly task: number;
  /** Least time between the one's finish and the other's start. */
  readonly lag: number;
  /** The later task may only begin in a later day than the one in which the earlier finished (see `dayStarts`). */
  readonly nextDay: boolean;
}

/**
 * A checked scheduling problem with numbered tasks and resources. Times are integers >= 0 in one unit (a quarter of an
 * hour in the loan plan, whatever the caller means at the command line).
 *
 * A task runs without a break from start to start + duration, and takes one of its alternatives for all that time.
 * Nothing in here is changed by the search.
 */
export interface Instance {
  readonly taskIds: readonly string[];
  readonly resourceIds: readonly string[];
  readonly duration: Float64Array;
  /** Release date. */
  readonly earliest: Float64Array;
  /** Due date; Infinity when there is none. */
  readonly due: Float64Array;
  readonly weight: Float64Array;
  /** Start of a pinned task; -1 when the task is free to move. */
  readonly fixedStart: Float64Array;
  readonly predecessors: readonly (readonly Link[])[];
  readonly successors: readonly (readonly Link[])[];
  /** Every task after all of its predecessors. */
  readonly topological: Int32Array;
  /** Per task, the sets of demands it may run with, the preferred first; never empty. */
  readonly alternatives: readonly (readonly (readonly Demand[])[])[];
  /** A task that must run with the alternative of the same number as another (the same person goes on); -1 if none. */
  readonly follows: Int32Array;
  /** What is free before anything of this problem is booked: capacity and calendar. One per resource. */
  readonly calendars: readonly CapacityProfile[];
  /** Rising instants at which a new day begins; read only where a link says `nextDay`. */
  readonly dayStarts: Float64Array;
}

/** Start and alternative per task. A start of -1 means not placed. */
export interface Schedule {
  readonly start: Float64Array;
  readonly alternative: Int32Array;
}

export function emptySchedule(taskCount: number): Schedule {
  return { start: new Float64Array(taskCount).fill(-1), alternative: new Int32Array(taskCount) };
}

/** First instant a successor may start, as far as this link is concerned. */
export function earliestAfter(instance: Instance, link: Link, finish: number): number {
  const time = finish + link.lag;
  return link.nextDay ? firstAtOrAfter(instance.dayStarts, time) : time;
}

/** Last instant a predecessor may finish, as far as this link is concerned. */
export function latestBefore(instance: Instance, link: Link, start: number): number {
  const time = link.nextDay ? lastAtOrBefore(instance.dayStarts, start) : start;
  return time - link.lag;
}

function firstAtOrAfter(rising: Float64Array, time: number): number {
  let low = 0;
  let high = rising.length;
  while (low < high) {
    const middle = (low + high) >> 1;
    if (rising[middle] < time) low = middle + 1;
    else high = middle;
  }
  return low < rising.length ? rising[low] : Infinity;
}

function lastAtOrBefore(rising: Float64Array, time: number): number {
  let low = 0;
  let high = rising.length;
  while (low < high) {
    const middle = (low + high) >> 1;
    if (rising[middle] <= time) low = middle + 1;
    else high = middle;
  }
  return low > 0 ? rising[low - 1] : -Infinity;
}
