import type { Instance, Link } from '../engine/instance.js';
import { CapacityProfile } from '../engine/profile.js';
import { topologicalOrder } from '../engine/topological.js';
import type { InputProblem, PlanInput } from './planInput.js';

/** The checked input as a numbered problem, or the circle that makes it impossible. */
export function instanceOf(input: PlanInput): { instance: Instance; problems: InputProblem[] } {
  const { tasks, resources } = input;
  const number = new Map(tasks.map(({ id }, index) => [id, index]));
  const place = new Map(resources.map(({ id }, index) => [id, index]));
  const predecessors = tasks.map(({ after }): Link[] =>
    [...new Set(after)].map((id) => ({ task: number.get(id) ?? 0, lag: 0, nextDay: false })),
  );
  const successors: Link[][] = tasks.map(() => []);
  predecessors.forEach((links, task) => {
    for (const link of links) successors[link.task].push({ ...link, task });
  });
  const topological = topologicalOrder(predecessors);
  const instance: Instance = {
    taskIds: tasks.map(({ id }) => id),
    resourceIds: resources.map(({ id }) => id),
    duration: Float64Array.from(tasks, ({ duration }) => duration),
    earliest: Float64Array.from(tasks, ({ earliest }) => earliest),
    due: Float64Array.from(tasks, ({ due }) => due),
    weight: Float64Array.from(tasks, ({ weight }) => weight),
    fixedStart: Float64Array.from(tasks, ({ fixedStart }) => fixedStart),
    predecessors,
    successors,
    topological,
    alternatives: tasks.map(({ needs }) => [
      Object.entries(needs).flatMap(([id, units]) =>
        units > 0 ? [{ resource: place.get(id) ?? 0, units }] : [],
      ),
    ]),
    follows: new Int32Array(tasks.length).fill(-1),
    calendars: resources.map(({ capacity, open }) =>
      open ? CapacityProfile.open(open, capacity) : new CapacityProfile(capacity),
    ),
    dayStarts: new Float64Array(0),
  };
  const problems = topological.length < tasks.length ? [circleProblem(instance, topological)] : [];
  return { instance, problems };
}

/** Walk back from a task that was left out until one comes up twice: that stretch is a circle. */
function circleProblem(instance: Instance, reached: Int32Array): InputProblem {
  const done = new Set(reached);
  const path: number[] = [];
  let at = instance.taskIds.findIndex((_, task) => !done.has(task));
  while (!path.includes(at)) {
    path.push(at);
    at = instance.predecessors[at].find(({ task }) => !done.has(task))?.task ?? at;
  }
  const circle = [...path.slice(path.indexOf(at)), at].reverse().map((task) => `"${instance.taskIds[task]}"`);
  return {
    code: 'cycle',
    where: 'tasks',
    message: `tasks wait for each other in a circle: ${circle.join(' before ')}; take one of these orders out`,
  };
}
