import type { Instance } from '../engine/instance.js';
import type { Windows } from '../engine/windows.js';

/** Time that must still pass after each task's finish before all is over, by the network alone. */
export function tailsOf(instance: Instance): Float64Array {
  const { duration, topological } = instance;
  const tail = new Float64Array(duration.length);
  for (let at = topological.length - 1; at >= 0; at -= 1) {
    const task = topological[at];
    for (const link of instance.successors[task]) {
      tail[task] = Math.max(tail[task], link.lag + duration[link.task] + tail[link.task]);
    }
  }
  return tail;
}

/** Makespan that the network, releases, calendars and pinned tasks ask for, the resources apart. */
export function criticalPathBound(instance: Instance, windows: Windows): number {
  const tail = tailsOf(instance);
  let bound = 0;
  for (let task = 0; task < tail.length; task += 1) {
    bound = Math.max(bound, windows.earliest[task] + instance.duration[task] + tail[task]);
  }
  return bound;
}

/** Weighted tardiness that cannot be avoided even if every task starts as early as its window allows. */
export function windowTardinessBound(instance: Instance, windows: Windows): number {
  const { duration, due, weight } = instance;
  let bound = 0;
  for (let task = 0; task < duration.length; task += 1) {
    const late = windows.earliest[task] + duration[task] - due[task];
    if (late > 0) bound += weight[task] * late;
  }
  return bound;
}
