import { earliestAfter, type Instance } from './instance.js';
import type { CapacityProfile } from './profile.js';

/**
 * Why each task starts no earlier, in words: a pin, its release, a task it waits for, a resource that is busy or closed
 * in the moment before. The first that applies, in that order.
 */
export function reasonsOf(instance: Instance, start: Float64Array): string[] {
  const endings = endingsByResource(instance, start);
  const free = freeBeside(instance, start);
  return instance.taskIds.map((_, task) => {
    const because = reasonOf(instance, start, { endings, free }, task);
    return because + dueWords(instance, start, task);
  });
}

function reasonOf(instance: Instance, start: Float64Array, { endings, free }: Usage, task: number): string {
  const time = start[task];
  if (instance.fixedStart[task] >= 0) return `pinned to ${time}`;
  const waits = instance.predecessors[task].filter(
    (link) => earliestAfter(instance, link, start[link.task] + instance.duration[link.task]) >= time,
  );
  if (waits.length > 0 && time > 0)
    return `waits for ${named(
      instance,
      waits.map((link) => link.task),
    )}`;
  if (time <= instance.earliest[task])
    return time === 0 ? 'starts at the beginning' : `cannot start before ${time}`;
  const full = (instance.alternatives[task][0] ?? []).find(
    ({ resource, units }) => time > 0 && free[resource].freeDuring(time - 1, 1) < units,
  );
  if (!full) return `starts at ${time}`;
  const name = instance.resourceIds[full.resource];
  const before = endings[full.resource].get(time)?.filter((other) => other !== task) ?? [];
  return before.length > 0
    ? `${name} is busy with ${named(instance, before)}`
    : `${name} is closed until ${time}`;
}

function dueWords(instance: Instance, start: Float64Array, task: number): string {
  const due = instance.due[task];
  if (due === Infinity) return '';
  const late = start[task] + instance.duration[task] - due;
  return late > 0 ? `; late by ${late}, due ${due}` : `; due ${due}`;
}

type Endings = readonly ReadonlyMap<number, number[]>[];

interface Usage {
  readonly endings: Endings;
  /** What the whole schedule leaves free. */
  readonly free: readonly CapacityProfile[];
}

function freeBeside(instance: Instance, start: Float64Array): CapacityProfile[] {
  const free = instance.calendars.map((calendar) => calendar.clone());
  start.forEach((time, task) => {
    for (const { resource, units } of instance.alternatives[task][0] ?? []) {
      free[resource].reserve(time, instance.duration[task], units);
    }
  });
  return free;
}

/** Tasks by resource and finish. */
function endingsByResource(instance: Instance, start: Float64Array): Endings {
  const endings = instance.resourceIds.map(() => new Map<number, number[]>());
  start.forEach((time, task) => {
    const finish = time + instance.duration[task];
    if (instance.duration[task] === 0) return;
    for (const { resource } of instance.alternatives[task][0] ?? []) {
      const list = endings[resource].get(finish) ?? [];
      list.push(task);
      endings[resource].set(finish, list);
    }
  });
  return endings;
}

/** At most three tasks by name. */
function named(instance: Instance, tasks: readonly number[]): string {
  const names = tasks.slice(0, 3).map((task) => `task "${instance.taskIds[task]}"`);
  const more = tasks.length > 3 ? ` and ${tasks.length - 3} more` : '';
  return names.join(', ') + more;
}
