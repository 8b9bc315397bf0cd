import type { Instance } from '../engine/instance.js';
import type { Windows } from '../engine/windows.js';
import { calendarsWithPins } from '../engine/windows.js';
import { tailsOf } from './criticalPath.js';

/**
 * Makespan that the work asks for on each resource: the tasks that cannot start before `a` and that leave at least `b`
 * after them need their duration times units between a and the end minus b. Every pair (a, b) of a release and a tail
 * is looked at; closed time counts as nothing free.
 */
export function energyBound(instance: Instance, windows: Windows): number {
  const tail = tailsOf(instance);
  const free = calendarsWithPins(instance);
  let bound = 0;
  for (let resource = 0; resource < instance.calendars.length; resource += 1) {
    const members = membersOf(instance, resource);
    if (members.length === 0) continue;
    const heads = [...new Set(members.map(({ task }) => windows.earliest[task]))].sort((a, b) => a - b);
    members.sort((a, b) => tail[b.task] - tail[a.task]);
    for (const head of heads) {
      let work = 0;
      for (const { task, units } of members) {
        if (windows.earliest[task] < head) continue;
        work += units * instance.duration[task];
        bound = Math.max(bound, free[resource].enoughAt(head, work) + tail[task]);
      }
    }
  }
  return bound;
}

/** Free tasks that take some of a resource. Pinned ones are part of the calendars here. */
function membersOf(instance: Instance, resource: number): { task: number; units: number }[] {
  return instance.alternatives.flatMap(([demands = []], task) => {
    if (instance.fixedStart[task] >= 0 || instance.duration[task] === 0) return [];
    const demand = demands.find((entry) => entry.resource === resource);
    return demand ? [{ task, units: demand.units }] : [];
  });
}
