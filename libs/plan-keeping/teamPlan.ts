/** The plan of all open loans as it follows from the data now, next to the plan in force. */
import { createHash } from 'node:crypto';
import type { LoanPlan, StepPlan } from '../planning/planLoans.js';
import type { LoanPlanView, PlanCause, PlanStepView, Urgency } from '../contracts/index.js';
import { lastFeedNumber, type Database } from '../store/index.js';
import { housePlan, type HousePlan } from './housePlan.js';
import { planCauses } from './planCauses.js';
import { factsHash, planFacts, type PlanFacts } from './planFacts.js';
import { planInput, type PlanInput } from './planInput.js';
import type { StepStanding } from './stepStanding.js';

export interface TeamPlan {
  readonly now: Date;
  readonly zone: string;
  readonly plans: ReadonlyMap<string, LoanPlanView>;
  readonly house: HousePlan;
  readonly facts: PlanFacts;
  readonly factsHash: string;
  /** Of the plan in force. */
  readonly version: number;
  readonly acceptedAt: Date | null;
  readonly acceptedBy: string | null;
  readonly causes: readonly PlanCause[];
}

const urgencies: Readonly<Record<LoanPlan['state'], Urgency>> = {
  late: 'late',
  'at-risk': 'at-risk',
  'on-track': 'on-track',
  unscheduled: 'undated',
};

const FRESH_MS = 5 * 60_000;
interface Kept {
  readonly feedNumber: number;
  readonly at: number;
  readonly plan: Promise<TeamPlan>;
}
const kept = new WeakMap<Database, Kept>();
/** The engine's last answer: what happened since may not concern it. */
const keptRuns = new WeakMap<Database, { readonly key: string; readonly run: Promise<HousePlan> }>();

/** Kept until something happens or five minutes pass. */
export async function teamPlan(database: Database, now: Date): Promise<TeamPlan> {
  const feedNumber = await lastFeedNumber(database);
  const last = kept.get(database);
  if (last && last.feedNumber === feedNumber && Math.abs(now.getTime() - last.at) < FRESH_MS)
    return last.plan;
  const plan = makePlan(database, now);
  kept.set(database, { feedNumber, plan, at: now.getTime() });
  // A failed attempt must not be served again.
  plan.catch(() => kept.delete(database));
  return plan;
}

async function makePlan(database: Database, now: Date): Promise<TeamPlan> {
  // The version first: a plan that is accepted in between makes this one stale, never the other way round.
  const state = await database.prisma.planState.findUniqueOrThrow({ where: { id: 1 } });
  const input = await planInput(database.prisma, now);
  const house = await runOnce(database, input);
  const facts = planFacts(input);
  const missed = [...input.standings.values()]
    .flatMap(({ movable }) => movable)
    .filter(({ finish, outcome }) => finish <= now || outcome === 'missed')
    .filter(({ loanId }) => facts.loans[loanId]?.arrived);
  return {
    now,
    zone: input.zone,
    plans: new Map(house.loans.map((loan) => [loan.loanId, viewOf(loan, input.standings)])),
    house,
    facts,
    factsHash: factsHash(facts),
    version: state.version,
    acceptedAt: state.acceptedAt,
    acceptedBy: state.acceptedByName,
    causes: planCauses({
      before: state.acceptedAt === null ? undefined : (state.facts as unknown as PlanFacts),
      after: facts,
      missed,
      now,
      zone: input.zone,
    }),
  };
}

async function runOnce(database: Database, input: PlanInput): Promise<HousePlan> {
  const key = createHash('sha256')
    .update(JSON.stringify([input.engine, input.rows]))
    .digest('hex');
  const last = keptRuns.get(database);
  if (last?.key === key) return last.run;
  const run = housePlan(input);
  keptRuns.set(database, { key, run });
  run.catch(() => keptRuns.delete(database));
  return run;
}

export function viewOf(
  loan: LoanPlan,
  standings: ReadonlyMap<string, StepStanding> = new Map(),
): LoanPlanView {
  return {
    urgency: urgencies[loan.state],
    sentence: asSentence(loan.why),
    slackHours: hours(loan.slackMinutes),
    slackWorkingDays: loan.slackWorkingDays,
    mustArriveBy: loan.mustArriveBy,
    askExtensionTo: loan.askForExtensionTo,
    steps: loan.steps.map((step) => stepView(step, standings.get(`${loan.loanId}/${step.stepId}`))),
  };
}

/** Sessions worked or under way belong to the step, though the engine no longer plans them. */
function stepView(step: StepPlan, standing: StepStanding | undefined): PlanStepView {
  const stays = standing?.stays ?? [];
  const underWay = standing?.underWay ?? [];
  // A step whose last session is under way has nothing left to plan, and is not done.
  const open = underWay.length > 0 && step.sessions.length === 0;
  const begun = stays.map(({ start, finish, pinned }) => ({
    start: start.toISOString(),
    finish: finish.toISOString(),
    pinned,
  }));
  const planned = step.sessions.map(({ start, finish, pinned }) => ({ start, finish, pinned }));
  return {
    code: step.kind,
    title: step.label,
    unitId: step.unitId,
    start: begun[0]?.start ?? step.start,
    finish: open ? (begun.at(-1)?.finish ?? null) : (step.finish ?? begun.at(-1)?.finish ?? null),
    latestStart: step.latestStart,
    slackHours: hours(step.slackMinutes),
    slackWorkingDays: step.slackWorkingDays,
    done: step.state === 'done' && !open,
    binding: step.bindingConstraint,
    stepId: step.stepId,
    state: underWay.length > 0 && (open || step.state === 'planned') ? 'running' : step.state,
    sessions: [...begun, ...planned],
  };
}

/** The engine speaks in clauses; a page shows sentences. */
export const asSentence = (clause: string): string => {
  const text = clause.charAt(0).toUpperCase() + clause.slice(1);
  return /[.!?]$/.test(text) ? text : `${text}.`;
};

const hours = (minutes: number | null): number | null =>
  minutes === null ? null : Math.round(minutes / 6) / 10;

export const settledPlan: LoanPlanView = {
  urgency: 'settled',
  sentence: 'Closed.',
  slackHours: null,
  slackWorkingDays: null,
  mustArriveBy: null,
  askExtensionTo: null,
  steps: [],
};
