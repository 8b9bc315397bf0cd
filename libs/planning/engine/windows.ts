import { earliestAfter, latestBefore, type Instance } from './instance.js';
import { CapacityProfile } from './profile.js';

/** Between what times each task must lie, whatever the order on the resources. */
export interface Windows {
  /** Earliest start from releases, predecessors, pinned tasks and calendars; pinned: the pinned start. */
  readonly earliest: Float64Array;
  /** Latest finish that pinned successors leave; Infinity when nothing limits it; pinned: the pinned finish. */
  readonly latestFinish: Float64Array;
  /** Every active schedule of free tasks is over by then, if the calendars have room at all. */
  readonly horizon: number;
}

export function windowsOf(instance: Instance): Windows {
  const base = calendarsWithPins(instance);
  return {
    earliest: earliestStarts(instance, base),
    latestFinish: latestFinishes(instance, base),
    horizon: horizonOf(instance),
  };
}

/** What the calendars and the pinned tasks leave free. */
export function calendarsWithPins(instance: Instance): CapacityProfile[] {
  const base = instance.calendars.map((calendar) => calendar.clone());
  instance.fixedStart.forEach((start, task) => {
    if (start < 0) return;
    for (const { resource, units } of instance.alternatives[task][0] ?? []) {
      base[resource].reserve(start, instance.duration[task], units);
    }
  });
  return base;
}

function earliestStarts(instance: Instance, base: readonly CapacityProfile[]): Float64Array {
  const earliest = instance.earliest.slice();
  for (const task of instance.topological) {
    for (const link of instance.predecessors[task]) {
      const finish = earliest[link.task] + instance.duration[link.task];
      earliest[task] = Math.max(earliest[task], earliestAfter(instance, link, finish));
    }
    if (instance.fixedStart[task] >= 0) earliest[task] = instance.fixedStart[task];
    else earliest[task] = firstRoom(instance, base, task, earliest[task]);
  }
  return earliest;
}

/** Earliest start on the calendars alone. */
function firstRoom(instance: Instance, base: readonly CapacityProfile[], task: number, from: number): number {
  let best = Infinity;
  for (const demands of instance.alternatives[task]) {
    let start = from;
    for (let changed = true; changed && start < Infinity;) {
      changed = false;
      for (const { resource, units } of demands) {
        const fit = base[resource].earliestFit(start, instance.duration[task], units);
        if (fit > start) changed = true;
        start = fit;
        if (start === Infinity) break;
      }
    }
    best = Math.min(best, start);
  }
  return best;
}

function latestFinishes(instance: Instance, base: readonly CapacityProfile[]): Float64Array {
  const { duration, fixedStart, topological } = instance;
  const latest = new Float64Array(duration.length).fill(Infinity);
  for (let at = topological.length - 1; at >= 0; at -= 1) {
    const task = topological[at];
    for (const link of instance.successors[task]) {
      const start = latest[link.task] - duration[link.task];
      if (start < Infinity) latest[task] = Math.min(latest[task], latestBefore(instance, link, start));
    }
    if (fixedStart[task] >= 0) latest[task] = fixedStart[task] + duration[task];
    else if (latest[task] < Infinity) latest[task] = lastRoom(instance, base, task, latest[task]);
  }
  return latest;
}

/** Latest finish on the calendars alone; -Infinity when there is none. */
function lastRoom(
  instance: Instance,
  base: readonly CapacityProfile[],
  task: number,
  before: number,
): number {
  const duration = instance.duration[task];
  let best = -Infinity;
  for (const demands of instance.alternatives[task]) {
    let finish = before;
    for (let changed = true; changed && finish > -Infinity;) {
      changed = false;
      for (const { resource, units } of demands) {
        const fit = base[resource].latestFit(finish, duration, units) + duration;
        if (fit < finish) changed = true;
        finish = fit;
        if (finish === -Infinity) break;
      }
    }
    best = Math.max(best, finish);
  }
  return best;
}

function horizonOf(instance: Instance): number {
  let from = 0;
  for (const time of instance.earliest) from = Math.max(from, time);
  for (const calendar of instance.calendars) from = Math.max(from, calendar.settledAt);
  let span = 1;
  instance.duration.forEach((duration, task) => {
    span += duration + Math.max(0, ...instance.predecessors[task].map(({ lag }) => lag));
    from = Math.max(from, instance.fixedStart[task] + duration);
  });
  const days = instance.dayStarts;
  return from + span + (days.length > 0 ? days[days.length - 1] : 0);
}
