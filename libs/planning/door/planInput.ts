/** What the planning command reads. Integer time units from 0. */
export interface PlanInput {
  readonly objective: 'makespan' | 'weightedTardiness';
  readonly seed: number;
  readonly budget: PlanBudget;
  readonly resources: readonly ResourceInput[];
  readonly tasks: readonly TaskInput[];
}

export type PlanBudget = { readonly schedules: number } | { readonly milliseconds: number };

export interface ResourceInput {
  readonly id: string;
  readonly capacity: number;
  /** Rising, disjoint [from, to) stretches in which it can be used; always when absent. */
  readonly open?: readonly (readonly [number, number])[];
}

export interface TaskInput {
  readonly id: string;
  readonly duration: number;
  readonly needs: Readonly<Record<string, number>>;
  readonly after: readonly string[];
  readonly earliest: number;
  /** Infinity when there is none. */
  readonly due: number;
  readonly weight: number;
  /** -1 when the task is free to move. */
  readonly fixedStart: number;
}

export interface InputProblem {
  /** Stable: malformed, duplicate-id, unknown-id, cycle, over-capacity, negative-duration, pin-conflict, ... */
  readonly code: string;
  /** Where in the input, such as `tasks[3].after[0]`. */
  readonly where: string;
  /** What is wrong and what to do. */
  readonly message: string;
}

export type ReadPlanInput =
  | { readonly input: PlanInput; readonly problems: readonly [] }
  | { readonly input: null; readonly problems: readonly InputProblem[] };

/** Schedules tried when the input states no budget. */
const defaultSchedules = 1000;

/** Check a parsed JSON value and fill in what may be left out. Every problem is reported, not only the first. */
export function readPlanInput(value: unknown): ReadPlanInput {
  const reader = new Reader();
  const root = reader.record(value, 'input');
  if (!root) return { input: null, problems: reader.problems };
  const input: PlanInput = {
    objective: reader.objective(root.objective),
    seed: reader.optionalInteger(root.seed, 'seed', -Infinity) ?? 1,
    budget: reader.budget(root.budget),
    resources: reader.list(root.resources ?? [], 'resources').map((entry, i) => resource(reader, entry, i)),
    tasks: reader.list(root.tasks, 'tasks').map((entry, i) => task(reader, entry, i)),
  };
  checkReferences(reader, input);
  checkSizes(reader, input);
  return reader.problems.length > 0 ? { input: null, problems: reader.problems } : { input, problems: [] };
}

function resource(reader: Reader, value: unknown, index: number): ResourceInput {
  const where = `resources[${index}]`;
  const entry = reader.record(value, where) ?? {};
  const id = reader.id(entry.id, `${where}.id`);
  const capacity = reader.integer(entry.capacity, `${where}.capacity`, 0, id);
  if (entry.open === undefined || entry.open === null) return { id, capacity };
  const open = reader.list(entry.open, `${where}.open`).map((stretch, i): readonly [number, number] => {
    const ends = reader.list(stretch, `${where}.open[${i}]`);
    const from = reader.integer(ends[0], `${where}.open[${i}][0]`, 0, id);
    return [from, reader.integer(ends[1], `${where}.open[${i}][1]`, from + 1, id)];
  });
  open.forEach(([from], i) => {
    if (i === 0 || from >= open[i - 1][1]) return;
    reader.add(
      'malformed',
      `${where}.open[${i}]`,
      `stretch ${i} of resource "${id}" begins before the one before it ends; list them in order without overlap`,
    );
  });
  return { id, capacity, open };
}

function task(reader: Reader, value: unknown, index: number): TaskInput {
  const where = `tasks[${index}]`;
  const entry = reader.record(value, where) ?? {};
  const id = reader.id(entry.id, `${where}.id`);
  const needs = reader.record(entry.needs ?? {}, `${where}.needs`) ?? {};
  return {
    id,
    duration: reader.duration(entry.duration, `${where}.duration`, id),
    needs: Object.fromEntries(
      Object.entries(needs).map(([key, units]) => [
        key,
        reader.integer(units, `${where}.needs.${key}`, 0, id),
      ]),
    ),
    after: reader
      .list(entry.after ?? [], `${where}.after`)
      .map((name, i) => reader.id(name, `${where}.after[${i}]`)),
    earliest: reader.optionalInteger(entry.earliest, `${where}.earliest`, 0, id) ?? 0,
    due: reader.optionalInteger(entry.due, `${where}.due`, -Infinity, id) ?? Infinity,
    weight: reader.optionalNumber(entry.weight, `${where}.weight`, id) ?? 1,
    fixedStart: reader.optionalInteger(entry.fixedStart, `${where}.fixedStart`, 0, id) ?? -1,
  };
}

function checkReferences(reader: Reader, { resources, tasks }: PlanInput): void {
  const capacity = new Map<string, number>();
  resources.forEach(({ id, capacity: units }, i) => {
    if (capacity.has(id))
      reader.add(
        'duplicate-id',
        `resources[${i}].id`,
        `resource "${id}" is listed twice; give each its own id`,
      );
    capacity.set(id, units);
  });
  const known = new Set<string>();
  tasks.forEach(({ id }, i) => {
    if (known.has(id))
      reader.add('duplicate-id', `tasks[${i}].id`, `task "${id}" is listed twice; give each its own id`);
    known.add(id);
  });
  tasks.forEach(({ id, needs, after }, i) => {
    for (const [name, units] of Object.entries(needs)) {
      const available = capacity.get(name);
      if (available === undefined) {
        reader.add(
          'unknown-id',
          `tasks[${i}].needs`,
          `task "${id}" needs resource "${name}", which is not listed; list it or correct the id`,
        );
      } else if (units > available) {
        reader.add(
          'over-capacity',
          `tasks[${i}].needs`,
          `task "${id}" needs ${units} of resource "${name}", which has only ${available}`,
        );
      }
    }
    after.forEach((name, k) => {
      if (!known.has(name))
        reader.add(
          'unknown-id',
          `tasks[${i}].after[${k}]`,
          `task "${id}" comes after task "${name}", which is not listed; list it or correct the id`,
        );
    });
  });
}

/** Times are exact only up to 2^53. */
function checkSizes(reader: Reader, { resources, tasks }: PlanInput): void {
  let span = 0;
  for (const entry of tasks) span += Math.max(entry.duration, 0);
  let from = 0;
  for (const entry of tasks) from = Math.max(from, entry.earliest, entry.fixedStart);
  for (const { open = [] } of resources) for (const [, to] of open) from = Math.max(from, to);
  if (span + from <= Number.MAX_SAFE_INTEGER) return;
  reader.add(
    'malformed',
    'tasks',
    'the times add up to more than 2^53, where whole numbers are no longer exact; use a coarser unit',
  );
}

class Reader {
  readonly problems: InputProblem[] = [];

  add(code: string, where: string, message: string): void {
    this.problems.push({ code, where, message });
  }

  record(value: unknown, where: string): Record<string, unknown> | null {
    if (typeof value === 'object' && value !== null && !Array.isArray(value))
      return value as Record<string, unknown>;
    this.add('malformed', where, `expected an object, got ${shown(value)}`);
    return null;
  }

  list(value: unknown, where: string): readonly unknown[] {
    if (Array.isArray(value)) return value as readonly unknown[];
    this.add('malformed', where, `expected a list, got ${shown(value)}`);
    return [];
  }

  id(value: unknown, where: string): string {
    if (typeof value === 'string' && value !== '') return value;
    this.add('malformed', where, `expected an id (a text that is not empty), got ${shown(value)}`);
    return '';
  }

  objective(value: unknown): PlanInput['objective'] {
    if (value === 'makespan' || value === 'weightedTardiness') return value;
    this.add('malformed', 'objective', `expected "makespan" or "weightedTardiness", got ${shown(value)}`);
    return 'makespan';
  }

  budget(value: unknown): PlanBudget {
    if (value === undefined || value === null) return { schedules: defaultSchedules };
    const entry = this.record(value, 'budget');
    if (!entry) return { schedules: defaultSchedules };
    if (entry.schedules !== undefined)
      return { schedules: this.integer(entry.schedules, 'budget.schedules', 1) };
    if (entry.milliseconds !== undefined)
      return { milliseconds: this.integer(entry.milliseconds, 'budget.milliseconds', 1) };
    this.add('malformed', 'budget', 'expected {"schedules": n} or {"milliseconds": n}');
    return { schedules: defaultSchedules };
  }

  duration(value: unknown, where: string, id: string): number {
    if (typeof value === 'number' && Number.isSafeInteger(value) && value < 0) {
      this.add('negative-duration', where, `task "${id}" has the duration ${value}; a duration is 0 or more`);
      return 0;
    }
    return this.integer(value, where, 0, id);
  }

  integer(value: unknown, where: string, least: number, id = ''): number {
    if (typeof value === 'number' && Number.isSafeInteger(value) && value >= least) return value;
    const floor = least === -Infinity ? '' : ` of at least ${least}`;
    const whose = id === '' ? '' : ` ("${id}")`;
    this.add('malformed', where, `expected a whole number${floor}, got ${shown(value)}${whose}`);
    return Math.max(least, 0);
  }

  optionalInteger(value: unknown, where: string, least: number, id = ''): number | undefined {
    return value === undefined || value === null ? undefined : this.integer(value, where, least, id);
  }

  optionalNumber(value: unknown, where: string, id: string): number | undefined {
    if (value === undefined || value === null) return undefined;
    if (typeof value === 'number' && Number.isFinite(value) && value >= 0) return value;
    this.add('malformed', where, `expected a number of at least 0, got ${shown(value)} ("${id}")`);
    return 0;
  }
}

function shown(value: unknown): string {
  if (value === undefined) return 'nothing';
  const text = JSON.stringify(value) ?? typeof value;
  return text.length > 40 ? `${text.slice(0, 37)}...` : text;
}
