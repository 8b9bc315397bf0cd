import { deliveredBy, readyBy } from '../calendar/freight.js';
import type { ClockWords } from './clockWords.js';
import type { Binding, Explainer } from './explain.js';
import type { LoanNetwork } from './network.js';
import { returnDue, type HouseResources } from './resources.js';
import type { LoanSchedule } from './schedule.js';
import type { LoanStep } from './steps.js';
import type { Booking, LoanInput, LoanPlan, LoanState, StepPlan, StepState } from './types.js';

export interface AssessContext {
  readonly house: HouseResources;
  readonly network: LoanNetwork;
  readonly schedule: LoanSchedule;
  readonly latest: Float64Array;
  readonly explainer: Explainer;
  readonly words: ClockWords;
  readonly atRiskWorkingDays: number;
  readonly nowSlot: number;
}

/** One loan's plan in the terms of the team: dates, slack, state and the reason. */
export function assessLoan(context: AssessContext, loan: LoanInput, index: number): LoanPlan {
  const { house, network, schedule, latest } = context;
  const tasks = network.tasksOfLoan[index] ?? [];
  const steps = (network.steps[index] ?? []).map((step) => stepPlan(context, index, step));
  const { board } = schedule;
  const pack = lastTask(network, tasks, 'pack');
  const ready = pack >= 0 && board.isPlaced(pack) ? board.finish(pack) : null;
  const delivered = ready === null ? null : deliveredBy(house.carrier, ready, loan.freightDaysOut);
  const due = returnDue(house, loan);
  const returnBy = loan.returnBy === null ? Infinity : house.grid.atOrBefore(Date.parse(loan.returnBy));
  const missing = tasks.filter((task) => !board.isPlaced(task));
  const lateSlots = delivered === null || returnBy === Infinity ? null : Math.max(0, delivered - returnBy);
  const first = tasks.filter((task) => network.tasks[task].links.length === 0);
  const mustArrive = loan.arrived ? Infinity : Math.min(...first.map((task) => latest[task]));
  const slack = leastSlack(context, tasks);
  const state = stateOf(context, loan, {
    missing: missing.length,
    lateSlots,
    slackDays: slack?.days ?? null,
  });
  const iso = (slot: number | null): string | null =>
    slot === null || !Number.isFinite(slot) ? null : house.grid.iso(slot);
  return {
    loanId: loan.id,
    state,
    why: whyOf(context, loan, { state, pack, slack, delivered, due, missing: missing[0] ?? -1 }),
    steps,
    reviewedAt: iso(lastFinish(context, tasks, ['drafting', 'edit'])),
    publishedAt: iso(lastFinish(context, tasks, ['publish'])),
    readyToSendAt: iso(ready),
    returnedAt: iso(delivered),
    sendBackBy: iso(due),
    mustArriveBy: iso(mustArrive),
    makerMustSendBy: iso(
      Number.isFinite(mustArrive) ? readyBy(house.carrier, mustArrive, loan.freightDaysIn) : null,
    ),
    lateMinutes: lateSlots === null ? null : lateSlots * house.grid.slotMinutes,
    slackMinutes: slack ? slack.slots * house.grid.slotMinutes : null,
    slackWorkingDays: slack?.days ?? null,
    askForExtensionTo: (lateSlots ?? 0) > 0 && delivered !== null ? extensionDate(context, delivered) : null,
  };
}

function extensionDate({ words }: AssessContext, delivered: number): string | null {
  return Number.isFinite(delivered) ? words.date(delivered) : null;
}

function stateOf(
  context: AssessContext,
  loan: LoanInput,
  facts: { missing: number; lateSlots: number | null; slackDays: number | null },
): LoanState {
  if (loan.sentBack) return 'on-track';
  if (!loan.arrived && loan.arrival === null) return 'unscheduled';
  if ((facts.lateSlots ?? 0) > 0 || facts.missing > 0) return 'late';
  if (facts.slackDays !== null && facts.slackDays < context.atRiskWorkingDays) return 'at-risk';
  return 'on-track';
}

interface Slack {
  readonly task: number;
  readonly slots: number;
  readonly days: number;
}

/** The session with the least room before its latest start. */
function leastSlack(context: AssessContext, tasks: readonly number[]): Slack | null {
  const { schedule, latest } = context;
  let least: { task: number; slots: number } | null = null;
  for (const task of tasks) {
    if (!schedule.board.isPlaced(task) || schedule.pinned[task]) continue;
    const slots = latest[task] - schedule.board.start[task];
    if (slots < (least?.slots ?? Infinity)) least = { task, slots };
  }
  if (!least || !Number.isFinite(least.slots)) return null;
  const start = schedule.board.start[least.task];
  return { ...least, days: workingDaysBetween(context, start, start + least.slots) };
}

/** Whole working days of the house from one slot to another; negative when the second comes first. */
function workingDaysBetween(context: AssessContext, from: number, to: number): number {
  if (to < from) return -workingDaysBetween(context, to, from);
  const { days } = context.house.carrier;
  return Math.max(0, countUntil(days, to) - countUntil(days, from));
}

/** Days whose working hours are over by a slot. */
function countUntil(days: readonly (readonly [number, number])[], slot: number): number {
  let low = 0;
  let high = days.length;
  while (low < high) {
    const middle = (low + high) >> 1;
    if (days[middle][1] <= slot) low = middle + 1;
    else high = middle;
  }
  return low;
}

function stepPlan(context: AssessContext, loan: number, step: LoanStep): StepPlan {
  const { network, schedule, latest, house } = context;
  const tasks = (network.tasksOfLoan[loan] ?? []).filter((task) => network.tasks[task].step === step);
  const first = tasks[0] ?? -1;
  const base = { stepId: step.stepId, kind: step.template.kind, label: step.label, unitId: step.unitId };
  if (first < 0) return withoutWork(step, base);
  const { board } = schedule;
  const last = tasks.at(-1) as number;
  const placed = tasks.filter((task) => board.isPlaced(task));
  const start = board.isPlaced(first) ? board.start[first] : null;
  const limit = latest[first];
  const slack = start === null || !Number.isFinite(limit) ? null : limit - start;
  const days = slack === null || start === null ? null : workingDaysBetween(context, start, limit);
  const running = step.progress?.state === 'running';
  return {
    ...base,
    state: stepState(context, {
      placed: placed.length === tasks.length,
      running,
      slack,
      days,
      pinned: schedule.pinned[first] === 1,
    }),
    start:
      running && step.progress?.startedAt
        ? step.progress.startedAt
        : start === null
          ? null
          : house.grid.iso(start),
    finish: board.isPlaced(last) ? house.grid.iso(board.finish(last)) : null,
    latestStart: Number.isFinite(limit) ? house.grid.iso(limit) : null,
    slackMinutes: slack === null ? null : slack * house.grid.slotMinutes,
    slackWorkingDays: days,
    bindingConstraint: context.explainer.binding(first).words,
    sessions: placed.map((task) => bookingOf(context, task)),
  };
}

function withoutWork(step: LoanStep, base: Pick<StepPlan, 'stepId' | 'kind' | 'label' | 'unitId'>): StepPlan {
  const over = step.progress?.state === 'done' || step.progress?.state === 'skipped' || step.minutes <= 0;
  return {
    ...base,
    state: over ? 'done' : 'unplanned',
    start: step.progress?.startedAt ?? null,
    finish: step.progress?.finishedAt ?? null,
    latestStart: null,
    slackMinutes: null,
    slackWorkingDays: null,
    bindingConstraint: over ? 'done' : 'cannot be planned: see the problems',
    sessions: [],
  };
}

function stepState(
  context: AssessContext,
  facts: { placed: boolean; running: boolean; slack: number | null; days: number | null; pinned: boolean },
): StepState {
  if (!facts.placed) return 'unplanned';
  if (facts.slack !== null && facts.slack < 0) return 'late';
  if (facts.running) return 'running';
  if (facts.days !== null && facts.days < context.atRiskWorkingDays && !facts.pinned) return 'at-risk';
  return 'planned';
}

/** The booking a placed session stands for. */
export function bookingOf({ house, network, schedule }: AssessContext, task: number): Booking {
  const { board, pinned } = schedule;
  const { bookingId, loan, step, session } = network.tasks[task];
  const demands = board.demands(task, board.alternative[task]);
  return {
    id: bookingId,
    loanId: house.loanId(loan),
    stepId: step.stepId,
    session,
    start: house.grid.iso(board.start[task]),
    finish: house.grid.iso(board.finish(task)),
    resourceIds: demands.flatMap(({ resource }) => house.bookedId(resource) ?? []),
    pinned: pinned[task] === 1,
  };
}

function lastTask(network: LoanNetwork, tasks: readonly number[], kind: string): number {
  return tasks.filter((task) => network.tasks[task].step.template.kind === kind).at(-1) ?? -1;
}

function lastFinish(
  { network, schedule }: AssessContext,
  tasks: readonly number[],
  kinds: readonly string[],
): number | null {
  const own = tasks.filter((task) => kinds.includes(network.tasks[task].step.template.kind));
  if (own.length === 0 || own.some((task) => !schedule.board.isPlaced(task))) return null;
  return Math.max(...own.map((task) => schedule.board.finish(task)));
}

interface WhyFacts {
  readonly state: LoanState;
  readonly pack: number;
  readonly slack: Slack | null;
  readonly delivered: number | null;
  readonly due: number;
  readonly missing: number;
}

function whyOf(context: AssessContext, loan: LoanInput, facts: WhyFacts): string {
  const { network, words } = context;
  if (loan.sentBack) return 'on its way back';
  if (facts.state === 'unscheduled') return 'no arrival is agreed yet';
  if (facts.missing >= 0) {
    return `"${network.tasks[facts.missing].step.label}" has no room in the calendars`;
  }
  if (facts.state === 'late') {
    const root = rootOf(context, facts.pack);
    const when =
      facts.delivered !== null && Number.isFinite(facts.delivered) ? words.at(facts.delivered) : 'too late';
    return `back with the maker only ${when}, because of "${root.label}" (${root.binding.words})`;
  }
  if (!facts.slack)
    return loan.returnBy === null ? 'no return date is agreed' : 'nothing left to do before the return';
  const { step } = network.tasks[facts.slack.task];
  const { days } = facts.slack;
  const room = days === 0 ? 'less than a working day' : `${days} working day${days === 1 ? '' : 's'}`;
  return `"${step.label}" can slip ${room}: latest start ${words.at(context.latest[facts.slack.task])}`;
}

/** Follow the chain of waiting back from a session to the first one that waits for something outside its loan. */
function rootOf({ network, explainer }: AssessContext, task: number): { label: string; binding: Binding } {
  let at = task;
  let binding = explainer.binding(at);
  for (let steps = 0; binding.waitsFor >= 0 && steps < network.tasks.length; steps += 1) {
    at = binding.waitsFor;
    binding = explainer.binding(at);
  }
  return { label: network.tasks[at].step.label, binding };
}
