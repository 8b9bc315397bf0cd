import type { PlanFile } from './checkPlan.js';

/**
 * Best objective over every integer start of every task up to a horizon, by plain enumeration. Infinity when no set of
 * starts keeps to the file. Nothing shared with the engine; for a handful of tasks only.
 */
export function exhaustiveBest(file: PlanFile, horizon: number): number {
  const free = file.resources.map(({ capacity, open }) =>
    Array.from({ length: horizon }, (_, time) =>
      !open || open.some(([from, to]) => from <= time && time < to) ? capacity : 0,
    ),
  );
  const number = new Map(file.tasks.map(({ id }, index) => [id, index]));
  const start = file.tasks.map(() => -1);
  let best = Infinity;
  const take = (task: PlanFile['tasks'][number], time: number, sign: number): void => {
    file.resources.forEach(({ id }, resource) => {
      for (let at = time; at < time + task.duration; at += 1)
        free[resource][at] -= sign * (task.needs?.[id] ?? 0);
    });
  };
  const fits = (task: PlanFile['tasks'][number], time: number): boolean =>
    file.resources.every(({ id }, resource) => {
      const units = task.needs?.[id] ?? 0;
      if (units === 0) return true;
      for (let at = time; at < time + task.duration; at += 1) if (free[resource][at] < units) return false;
      return true;
    });
  const place = (index: number, cost: number): void => {
    if (best === 0) return;
    if (index === file.tasks.length) {
      best = cost;
      return;
    }
    const task = file.tasks[index];
    let from = task.earliest ?? 0;
    for (const id of task.after ?? []) {
      const before = number.get(id) ?? 0;
      if (before >= index) throw new Error('tasks must be listed after those they wait for');
      from = Math.max(from, start[before] + file.tasks[before].duration);
    }
    const to = task.fixedStart ?? horizon - task.duration;
    if (task.fixedStart !== undefined && task.fixedStart < from) return;
    for (let time = task.fixedStart ?? from; time <= to; time += 1) {
      const finish = time + task.duration;
      const lateness = (task.weight ?? 1) * Math.max(0, finish - (task.due ?? Infinity));
      const total = file.objective === 'makespan' ? Math.max(cost, finish) : cost + lateness;
      if (total >= best) return;
      if (!fits(task, time)) continue;
      take(task, time, 1);
      start[index] = time;
      place(index + 1, total);
      take(task, time, -1);
    }
  };
  place(0, 0);
  return best;
}
