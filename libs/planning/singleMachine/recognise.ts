import type { Instance } from '../engine/instance.js';
import type { Jobs } from './dynasearch.js';

/** The instance as jobs on one machine, and the way back. */
export interface SingleMachine extends Jobs {
  startsOf(order: Int32Array): Float64Array;
}

/**
 * Whether the tasks are plain jobs on one machine: no two can run at once, all are there from time 0, none is pinned,
 * none waits for another, and the machine is always open. Null when they are not.
 */
export function asSingleMachine(instance: Instance): SingleMachine | null {
  const { duration, due, weight, earliest, fixedStart, predecessors, alternatives, calendars } = instance;
  const count = duration.length;
  if (count === 0) return null;
  if (earliest.some((time) => time > 0) || fixedStart.some((start) => start >= 0)) return null;
  if (duration.some((time) => time === 0) || predecessors.some((links) => links.length > 0)) return null;
  if (
    alternatives.some((choices) => choices.length !== 1) ||
    calendars.some((calendar) => calendar.segments > 1)
  ) {
    return null;
  }
  const alone = calendars.some((calendar, resource) =>
    alternatives.every(([demands]) => {
      const units = demands.find((demand) => demand.resource === resource)?.units ?? 0;
      return 2 * units > calendar.most;
    }),
  );
  return alone ? { duration, due, weight, startsOf: (order) => startsInOrder(duration, order) } : null;
}

function startsInOrder(duration: Float64Array, order: Int32Array): Float64Array {
  const start = new Float64Array(duration.length);
  let time = 0;
  for (const job of order) {
    start[job] = time;
    time += duration[job];
  }
  return start;
}
