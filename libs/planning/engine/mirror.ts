import type { Instance } from './instance.js';

/**
 * The same problem with time running backwards from `horizon`: predecessors become successors, and a start at t becomes
 * a finish at horizon - t. A schedule generated in the mirror is one in which everything is as late as possible.
 *
 * Release dates become nothing in the mirror (the caller sets `earliest` from the finishes it allows).
 */
export function mirrored(instance: Instance, horizon: number): Instance {
  const { duration, fixedStart, successors, predecessors, topological } = instance;
  return {
    ...instance,
    earliest: new Float64Array(duration.length),
    due: new Float64Array(duration.length).fill(Infinity),
    fixedStart: fixedStart.map((start, task) => (start < 0 ? -1 : horizon - start - duration[task])),
    predecessors: successors,
    successors: predecessors,
    topological: topological.slice().reverse(),
    calendars: instance.calendars.map((calendar) => calendar.mirrored(horizon)),
    dayStarts: instance.dayStarts.map((time) => horizon - time).reverse(),
  };
}
