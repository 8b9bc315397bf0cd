import { earliestAfter, type Instance } from '../engine/instance.js';
import { windowsOf } from '../engine/windows.js';
import type { InputProblem } from './planInput.js';

/** Pins that contradict a release, each other, or the calendars. */
export function pinProblems(instance: Instance): InputProblem[] {
  const { taskIds, fixedStart, earliest } = instance;
  const problems: InputProblem[] = [];
  taskIds.forEach((id, task) => {
    if (fixedStart[task] < 0 || fixedStart[task] >= earliest[task]) return;
    problems.push({
      code: 'pin-before-release',
      where: `tasks[${task}].fixedStart`,
      message: `task "${id}" is pinned to ${fixedStart[task]} but cannot start before ${earliest[task]}; move the pin or the release`,
    });
  });
  problems.push(...overbooked(instance));
  return problems;
}

/** Book the pins one by one; one that does not fit any more is named with those that hold its resource. */
function overbooked(instance: Instance): InputProblem[] {
  const { taskIds, fixedStart, duration, resourceIds } = instance;
  const free = instance.calendars.map((calendar) => calendar.clone());
  const booked: number[] = [];
  return taskIds.flatMap((id, task) => {
    const start = fixedStart[task];
    if (start < 0) return [];
    const demands = instance.alternatives[task][0] ?? [];
    const full = demands.find(
      ({ resource, units }) => duration[task] > 0 && free[resource].freeDuring(start, duration[task]) < units,
    );
    if (!full) {
      for (const { resource, units } of demands) free[resource].reserve(start, duration[task], units);
      booked.push(task);
      return [];
    }
    const rivals = booked.filter(
      (other) =>
        fixedStart[other] < start + duration[task] &&
        start < fixedStart[other] + duration[other] &&
        (instance.alternatives[other][0] ?? []).some(({ resource }) => resource === full.resource),
    );
    const name = resourceIds[full.resource];
    const why =
      rivals.length > 0
        ? `"${name}" is taken by the pinned ${rivals.map((other) => `"${taskIds[other]}"`).join(', ')}`
        : `"${name}" is not open then`;
    return [
      {
        code: 'pin-conflict',
        where: `tasks[${task}].fixedStart`,
        message: `task "${id}" cannot be pinned to ${start}: ${why}; move one of them`,
      },
    ];
  });
}

/** Tasks that have no place on the calendars, or cannot be over before what is pinned after them. */
export function infeasibleWindows(instance: Instance): InputProblem[] {
  const { taskIds, duration, fixedStart } = instance;
  const windows = windowsOf(instance);
  const problems: InputProblem[] = [];
  taskIds.forEach((id, task) => {
    const where = `tasks[${task}]`;
    if (fixedStart[task] >= 0) {
      const late = instance.predecessors[task].find(
        (link) =>
          earliestAfter(instance, link, windows.earliest[link.task] + duration[link.task]) > fixedStart[task],
      );
      if (!late) return;
      const message = `task "${id}" is pinned to ${fixedStart[task]}, but task "${taskIds[late.task]}" before it cannot be over by then; move the pin`;
      problems.push({ code: 'pin-before-predecessor', where, message });
    } else if (windows.earliest[task] === Infinity) {
      const message = `task "${id}" finds no stretch of ${duration[task]} in which all it needs is open; open the resources for longer`;
      problems.push({ code: 'no-room', where, message });
    } else if (windows.earliest[task] + duration[task] > windows.latestFinish[task]) {
      const message = `task "${id}" cannot be over by ${windows.latestFinish[task]}, as a pinned task after it asks: it cannot start before ${windows.earliest[task]}; move the pin`;
      problems.push({ code: 'pin-before-predecessor', where, message });
    }
  });
  return problems;
}
