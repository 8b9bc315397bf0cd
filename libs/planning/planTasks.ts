import { budgetInSchedules } from './door/budget.js';
import { infeasibleWindows, pinProblems } from './door/feasibility.js';
import { instanceOf } from './door/instance.js';
import { readPlanInput, type InputProblem, type PlanInput } from './door/planInput.js';
import { latestStartsOf } from './engine/latestStarts.js';
import type { Instance } from './engine/instance.js';
import { reasonsOf } from './engine/reasons.js';
import { solve, type Solution } from './engine/solve.js';
import { Decoder } from './search/decoder.js';
import { Effort } from './search/effort.js';

export type { InputProblem } from './door/planInput.js';

export const planSchema = 'sojourn.plan/1';

export interface PlannedTask {
  readonly id: string;
  readonly start: number;
  readonly finish: number;
  /** Latest start that leaves the objective as it is, if what comes after moves too. */
  readonly latestStart: number;
  readonly slack: number;
  /** Why it does not start earlier, and its due date. */
  readonly bindingConstraint: string;
}

export interface TaskPlan {
  readonly schema: typeof planSchema;
  /** Null when there is no plan. */
  readonly objective: number | null;
  /** No plan can be better than this. */
  readonly lowerBound: number | null;
  readonly provenOptimal: boolean;
  readonly schedulesTried: number;
  readonly tasks: readonly PlannedTask[];
  /** Why there is no plan; empty when there is one. */
  readonly problems: readonly InputProblem[];
}

/**
 * The scheduling engine with nothing around it: check the input, search, explain.
 *
 * @param value the parsed JSON of a planning file
 * @returns a plan, or every problem of the input by name; never both
 */
export function planTasks(value: unknown): TaskPlan {
  const read = readPlanInput(value);
  if (!read.input) return without(read.problems);
  const { instance, problems } = instanceOf(read.input);
  if (problems.length > 0) return without(problems);
  const pins = pinProblems(instance);
  if (pins.length > 0) return without(pins);
  const impossible = infeasibleWindows(instance);
  if (impossible.length > 0) return without(impossible);
  return planned(read.input, instance);
}

function planned(input: PlanInput, instance: Instance): TaskPlan {
  const { objective, seed } = input;
  const schedules = budgetInSchedules(input.budget, { objective, instance });
  const solution = solve(instance, { objective, seed, schedules });
  if (!solution.start) return without([notFound(solution)], solution.schedulesTried);
  const { start } = solution;
  const decoder = new Decoder(instance, solution.windows, objective, new Effort(1));
  const latest = latestStartsOf(decoder, start);
  const reasons = reasonsOf(instance, start);
  return {
    schema: planSchema,
    objective: solution.objective,
    lowerBound: solution.lowerBound,
    provenOptimal: solution.provenOptimal,
    schedulesTried: solution.schedulesTried,
    tasks: input.tasks.map(({ id, duration }, task) => ({
      id,
      start: start[task],
      finish: start[task] + duration,
      latestStart: latest[task],
      slack: latest[task] - start[task],
      bindingConstraint: reasons[task],
    })),
    problems: [],
  };
}

function notFound({ provenImpossible, schedulesTried }: Solution): InputProblem {
  const message = provenImpossible
    ? 'no plan keeps to the pinned tasks: there is no order in which all that must come before them fits; move a pin or free capacity'
    : `no plan was found that keeps to the pinned tasks (${schedulesTried} schedules tried); move a pin, free capacity or raise the budget`;
  return { code: provenImpossible ? 'impossible' : 'no-plan-found', where: 'tasks', message };
}

function without(problems: readonly InputProblem[], schedulesTried = 0): TaskPlan {
  return {
    schema: planSchema,
    objective: null,
    lowerBound: null,
    provenOptimal: false,
    schedulesTried,
    tasks: [],
    problems,
  };
}
