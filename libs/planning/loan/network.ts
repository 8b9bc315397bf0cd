import type { Demand, Instance, Link } from '../engine/instance.js';
import { topologicalOrder } from '../engine/topological.js';
import { returnDue, type HouseResources } from './resources.js';
import { stepsOf, type LoanStep } from './steps.js';
import type { LoanInput, PlanLoansInput, PlanProblem } from './types.js';

/** One session of one step: what the engine calls a task. */
export interface LoanTask {
  readonly loan: number;
  readonly step: LoanStep;
  readonly session: number;
  readonly bookingId: string;
  readonly duration: number;
  readonly earliest: number;
  readonly earliestWhy: string;
  readonly due: number;
  readonly weight: number;
  readonly alternatives: readonly (readonly Demand[])[];
  readonly follows: number;
  readonly links: readonly Link[];
}

export interface LoanNetwork {
  readonly instance: Instance;
  readonly tasks: readonly LoanTask[];
  readonly steps: readonly (readonly LoanStep[])[];
  /** Task numbers per loan. */
  readonly tasksOfLoan: readonly (readonly number[])[];
  readonly problems: PlanProblem[];
}

/** A late publication counts this much of a late return of the same length. */
const publicationShare = 0.05;

/** Turn the loans into one scheduling problem over the house's people, places and permissions. */
export function loanNetwork(input: PlanLoansInput, house: HouseResources): LoanNetwork {
  const tasks: LoanTask[] = [];
  const problems: PlanProblem[] = [];
  const steps: LoanStep[][] = [];
  const tasksOfLoan: number[][] = [];
  input.loans.forEach((loan, index) => {
    const loanSteps = loan.sentBack ? [] : stepsOf(loan, input.templates, Date.parse(input.now));
    const from = tasks.length;
    addLoan({ input, house, loan, index, tasks, problems }, loanSteps);
    steps.push(loanSteps);
    tasksOfLoan.push(tasks.slice(from).map((_, offset) => from + offset));
  });
  return { instance: toInstance(input, house, tasks), tasks, steps, tasksOfLoan, problems };
}

interface LoanContext {
  readonly input: PlanLoansInput;
  readonly house: HouseResources;
  readonly loan: LoanInput;
  readonly index: number;
  readonly tasks: LoanTask[];
  readonly problems: PlanProblem[];
}

function addLoan(context: LoanContext, steps: readonly LoanStep[]): void {
  const sessionsOfStep = new Map<string, readonly number[]>();
  for (const step of inOrder(steps)) {
    if (step.minutes <= 0) continue;
    const alternatives = alternativesFor(context, step);
    if (!alternatives) continue;
    const sessions = sessionsOf(context, step, alternatives);
    if (!sessions) continue;
    const first = context.tasks.length;
    addSessions(context, step, sessions, predecessorLinks(step, steps, sessionsOfStep));
    sessionsOfStep.set(
      step.stepId,
      context.tasks.slice(first).map((_, offset) => first + offset),
    );
  }
}

/** Links to the sessions of the steps before (all of them: a pinned one may stand out of turn); a step without work of its own passes its predecessors on. */
function predecessorLinks(
  step: LoanStep,
  steps: readonly LoanStep[],
  sessionsOfStep: ReadonlyMap<string, readonly number[]>,
): Link[] {
  const tasks = new Set<number>();
  const seen = new Set<string>();
  const visit = (stepId: string): void => {
    if (seen.has(stepId)) return;
    seen.add(stepId);
    const sessions = sessionsOfStep.get(stepId);
    if (sessions) for (const task of sessions) tasks.add(task);
    else steps.find((other) => other.stepId === stepId)?.after.forEach(visit);
  };
  step.after.forEach(visit);
  return [...tasks].map((task) => ({ task, lag: 0, nextDay: false }));
}

/** The steps so that each comes after those it waits for; a template that waits in a circle keeps its written order. */
function inOrder(steps: readonly LoanStep[]): readonly LoanStep[] {
  const number = new Map(steps.map(({ stepId }, index) => [stepId, index]));
  const links = steps.map(({ after }) =>
    after.map((stepId) => ({ task: number.get(stepId) as number, lag: 0, nextDay: false })),
  );
  const order = topologicalOrder(links);
  return order.length === steps.length ? Array.from(order, (index) => steps[index]) : steps;
}

function addSessions(
  context: LoanContext,
  step: LoanStep,
  sessions: { slots: number; count: number; alternatives: readonly (readonly Demand[])[] },
  links: readonly Link[],
): void {
  const { loan, tasks, index } = context;
  const release = releaseOf(context, step);
  const first = tasks.length;
  for (let session = 1; session <= sessions.count; session += 1) {
    const previous = tasks.length - 1;
    const last = session === sessions.count;
    tasks.push({
      loan: index,
      step,
      session,
      bookingId: `${loan.id}/${step.stepId}/${session}`,
      duration: sessions.slots,
      ...release,
      ...dueOf(context, step, last),
      alternatives: sessions.alternatives,
      follows: session > 1 ? first : -1,
      links:
        session === 1 ? links : [{ task: previous, lag: 0, nextDay: step.template.separateDays === true }],
    });
  }
}

function releaseOf(context: LoanContext, step: LoanStep): { earliest: number; earliestWhy: string } {
  const { loan, input, house } = context;
  const now = house.grid.atOrAfter(Date.parse(input.now));
  const choices = [{ earliest: now, earliestWhy: 'nothing is planned before now' }];
  if (!loan.arrived && loan.arrival !== null) {
    const arrival = house.grid.atOrAfter(Date.parse(loan.arrival));
    choices.push({ earliest: arrival, earliestWhy: 'the crate has not arrived before' });
  }
  if (step.template.kind === 'publish' && loan.embargo) {
    const embargo = house.grid.atOrAfter(Date.parse(loan.embargo));
    choices.push({ earliest: embargo, earliestWhy: 'the embargo lifts' });
  }
  return choices.reduce((latest, choice) => (choice.earliest > latest.earliest ? choice : latest));
}

function dueOf(context: LoanContext, step: LoanStep, last: boolean): { due: number; weight: number } {
  const { loan, house } = context;
  const weight = loan.weight ?? 1;
  if (last && step.template.kind === 'pack' && loan.returnBy !== null) {
    return { due: returnDue(house, loan), weight };
  }
  if (last && step.template.kind === 'publish' && loan.publishBy) {
    return { due: house.grid.atOrBefore(Date.parse(loan.publishBy)), weight: weight * publicationShare };
  }
  return { due: Infinity, weight: 0 };
}

function alternativesFor(context: LoanContext, step: LoanStep): (readonly Demand[])[] | null {
  const { loan, input, house, problems } = context;
  const units = step.template.needsUnit || step.template.kind === 'pack' ? unitsOf(loan, step) : [];
  if (step.people === 0) return [house.demands(step.template, [], units)];
  const named = loan.assignees?.[step.template.kind] ?? loan.assignees?.['*'];
  const able = input.people
    .filter(({ does }) => !does || does.includes(step.template.kind))
    .map(({ id }) => id);
  // Without a named person the work goes round, so that ties do not all fall to the first in the list.
  const turn = able.length > 0 ? context.index % able.length : 0;
  const candidates = named?.filter((id) => house.has('person', id)) ?? [
    ...able.slice(turn),
    ...able.slice(0, turn),
  ];
  const groups = groupsOf(candidates, step.people, able);
  if (groups.length === 0) {
    problems.push({
      code: 'nobody-for-step',
      message: `Nobody can do "${step.label}" of ${loan.title}: it takes ${step.people} of ${able.length} people. Name someone for it.`,
      loanId: loan.id,
    });
    return null;
  }
  return groups.map((people) => house.demands(step.template, people, units));
}

function unitsOf(loan: LoanInput, step: LoanStep): string[] {
  const ids = step.unitId === null ? loan.units.map(({ id }) => id) : [step.unitId];
  return ids.map((id) => `${loan.id}/${id}`);
}

/** Sets of people, the named ones first; a helper for a heavy lift may be anyone who is able. */
function groupsOf(candidates: readonly string[], size: number, able: readonly string[]): string[][] {
  if (size <= 1) return candidates.map((person) => [person]);
  const everyone = [...candidates, ...able.filter((person) => !candidates.includes(person))];
  if (everyone.length < size) return [];
  return candidates.flatMap((lead, index) =>
    everyone.slice(index + 1).map((helper) => [lead, helper].slice(0, size)),
  );
}

function sessionsOf(
  context: LoanContext,
  step: LoanStep,
  alternatives: readonly (readonly Demand[])[],
): { slots: number; count: number; alternatives: readonly (readonly Demand[])[] } | null {
  const { house, loan, problems } = context;
  const total = Math.max(1, house.grid.slotsFor(step.minutes));
  const stretches = alternatives.map((demands) => house.longestStretch(demands));
  const room = Math.max(...stretches);
  const { sessionMinutes, sessions = 1 } = step.template;
  const wanted = sessionMinutes === undefined ? total : Math.max(1, house.grid.slotsFor(sessionMinutes));
  // Work that may be cut is cut to the hours there are; work in one go has to find a stretch that long.
  const most = sessionMinutes === undefined ? wanted : Math.min(wanted, room);
  const count = most > 0 ? Math.min(total, Math.max(sessions, Math.ceil(total / most))) : 1;
  const slots = Math.ceil(total / count);
  const possible = alternatives.filter((_, index) => stretches[index] >= slots);
  if (possible.length > 0) return { slots, count, alternatives: possible };
  problems.push({
    code: 'no-stretch-long-enough',
    message: `"${step.label}" of ${loan.title} takes ${slots * house.grid.slotMinutes} minutes in one go, but the people and places it needs are never open together for more than ${room * house.grid.slotMinutes}. Widen the hours or allow it in sessions.`,
    loanId: loan.id,
  });
  return null;
}

function toInstance(input: PlanLoansInput, house: HouseResources, tasks: readonly LoanTask[]): Instance {
  const successors: Link[][] = tasks.map(() => []);
  tasks.forEach(({ links }, task) => {
    for (const link of links) successors[link.task]?.push({ ...link, task });
  });
  const dayStarts = house.grid
    .civilDays(input.house.zone)
    .map(({ startMs }) => house.grid.atOrAfter(startMs));
  return {
    taskIds: tasks.map(({ bookingId }) => bookingId),
    resourceIds: house.ids,
    duration: Float64Array.from(tasks, ({ duration }) => duration),
    earliest: Float64Array.from(tasks, ({ earliest }) => earliest),
    due: Float64Array.from(tasks, ({ due }) => due),
    weight: Float64Array.from(tasks, ({ weight }) => weight),
    fixedStart: new Float64Array(tasks.length).fill(-1),
    predecessors: tasks.map(({ links }) => links),
    successors,
    topological: Int32Array.from(tasks, (_, task) => task),
    alternatives: tasks.map(({ alternatives }) => alternatives),
    follows: Int32Array.from(tasks, ({ follows }) => follows),
    calendars: house.profiles(),
    dayStarts: Float64Array.from(dayStarts),
  };
}
