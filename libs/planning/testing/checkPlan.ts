/**
 * An independent check of a plan against the file it was made from: plain loops over time, nothing shared with the
 * engine. For tests and benches; slow on long horizons.
 */

export interface FileTask {
  readonly id: string;
  readonly duration: number;
  readonly needs?: Readonly<Record<string, number>>;
  readonly after?: readonly string[];
  readonly earliest?: number;
  readonly due?: number;
  readonly weight?: number;
  readonly fixedStart?: number;
}

export interface PlanFile {
  readonly objective: 'makespan' | 'weightedTardiness';
  readonly seed?: number;
  readonly budget?: { readonly schedules: number } | { readonly milliseconds: number };
  readonly resources: readonly {
    readonly id: string;
    readonly capacity: number;
    readonly open?: readonly (readonly [number, number])[];
  }[];
  readonly tasks: readonly FileTask[];
}

export interface PlanToCheck {
  readonly objective: number | null;
  readonly lowerBound: number | null;
  readonly provenOptimal: boolean;
  readonly tasks: readonly {
    readonly id: string;
    readonly start: number;
    readonly finish: number;
    readonly latestStart: number;
    readonly slack: number;
    readonly bindingConstraint: string;
  }[];
}

/** Everything that is wrong with a plan; empty when nothing is. */
export function checkPlan(file: PlanFile, plan: PlanToCheck): string[] {
  const wrong: string[] = [];
  const starts = new Map(plan.tasks.map((task) => [task.id, task.start]));
  const latest = new Map(plan.tasks.map((task) => [task.id, task.latestStart]));
  if (plan.tasks.map(({ id }) => id).join() !== file.tasks.map(({ id }) => id).join())
    wrong.push('tasks differ');
  wrong.push(...checkStarts(file, starts, 'plan'));
  wrong.push(...checkStarts(file, latest, 'latest starts'));
  const objective = objectiveOf(file, starts);
  if (objective !== plan.objective)
    wrong.push(`objective ${plan.objective}, but the starts give ${objective}`);
  const lateObjective = objectiveOf(file, latest);
  if (lateObjective !== objective)
    wrong.push(`the latest starts cost ${lateObjective} instead of ${objective}`);
  for (const task of plan.tasks) {
    const duration = file.tasks.find(({ id }) => id === task.id)?.duration ?? NaN;
    if (task.finish !== task.start + duration) wrong.push(`${task.id}: finish is not start plus duration`);
    if (task.slack !== task.latestStart - task.start || task.slack < 0)
      wrong.push(`${task.id}: slack ${task.slack}`);
    if (task.bindingConstraint === '') wrong.push(`${task.id}: no reason`);
  }
  if ((plan.lowerBound ?? Infinity) > objective)
    wrong.push(`lower bound ${plan.lowerBound} over the objective`);
  if (plan.provenOptimal !== (plan.lowerBound === objective)) wrong.push('proof and bound disagree');
  return wrong;
}

/** Makespan, or weighted tardiness, of a set of starts. */
export function objectiveOf(file: PlanFile, starts: ReadonlyMap<string, number>): number {
  let makespan = 0;
  let tardiness = 0;
  for (const { id, duration, due = Infinity, weight = 1 } of file.tasks) {
    const finish = (starts.get(id) ?? NaN) + duration;
    makespan = Math.max(makespan, finish);
    if (finish > due) tardiness += weight * (finish - due);
  }
  return file.objective === 'makespan' ? makespan : tardiness;
}

function checkStarts(file: PlanFile, starts: ReadonlyMap<string, number>, what: string): string[] {
  const wrong: string[] = [];
  const duration = new Map(file.tasks.map((task) => [task.id, task.duration]));
  for (const { id, earliest = 0, fixedStart, after = [] } of file.tasks) {
    const start = starts.get(id) ?? NaN;
    if (!Number.isInteger(start) || start < earliest)
      wrong.push(`${what}: ${id} starts at ${start}, before ${earliest}`);
    if (fixedStart !== undefined && start !== fixedStart)
      wrong.push(`${what}: ${id} is not where it is pinned`);
    for (const before of after) {
      const finish = (starts.get(before) ?? NaN) + (duration.get(before) ?? NaN);
      if (!(finish <= start)) wrong.push(`${what}: ${id} starts at ${start}, ${before} ends at ${finish}`);
    }
  }
  for (const resource of file.resources) wrong.push(...checkResource(file, resource, starts, what));
  return wrong;
}

/** Usage in every unit of time in which something starts on the resource (that is where it can first be too high). */
function checkResource(
  file: PlanFile,
  { id, capacity, open }: PlanFile['resources'][number],
  starts: ReadonlyMap<string, number>,
  what: string,
): string[] {
  const users = file.tasks.flatMap((task) => {
    const units = task.needs?.[id] ?? 0;
    const start = starts.get(task.id) ?? NaN;
    return units > 0 && task.duration > 0
      ? [{ id: task.id, units, start, finish: start + task.duration }]
      : [];
  });
  return users.flatMap((user) => {
    let used = 0;
    for (const other of users)
      if (other.start <= user.start && user.start < other.finish) used += other.units;
    const shut =
      open !== undefined &&
      !open.some(([from, to]) => from <= user.start && user.finish <= joinedTo(open, to));
    return [
      ...(used > capacity ? [`${what}: ${id} is used ${used} of ${capacity} at ${user.start}`] : []),
      ...(shut ? [`${what}: ${user.id} runs while ${id} is closed`] : []),
    ];
  });
}

/** Where the open time that reaches `to` really ends: stretches may touch. */
function joinedTo(open: readonly (readonly [number, number])[], to: number): number {
  const next = open.find(([from]) => from === to);
  return next ? joinedTo(open, next[1]) : to;
}
