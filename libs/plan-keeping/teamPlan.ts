/** The plan of all open loans, in the words a dashboard shows. */
import { planLoans, type LoanPlan, type StepPlan } from '../planning/planLoans.js';
import type { LoanPlanView, PlanStepView, Urgency } from '../contracts/index.js';
import { lastFeedNumber, type Database } from '../store/index.js';
import { planInput } from './planInput.js';

export interface TeamPlan {
  readonly now: Date;
  readonly zone: string;
  readonly plans: ReadonlyMap<string, LoanPlanView>;
}

const urgencies: Readonly<Record<LoanPlan['state'], Urgency>> = {
  late: 'late',
  'at-risk': 'at-risk',
  'on-track': 'on-track',
  unscheduled: 'undated',
};

const FRESH_MS = 5 * 60_000;
const kept = new WeakMap<Database, { feedNumber: number; plan: Promise<TeamPlan>; at: number }>();

/** The plan as it follows from the data now; kept until something happens or five minutes pass. */
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
  const input = await planInput(database, now);
  const { loans } = planLoans(input);
  return { now, zone: input.house.zone, plans: new Map(loans.map((loan) => [loan.loanId, viewOf(loan)])) };
}

function viewOf(loan: LoanPlan): LoanPlanView {
  return {
    urgency: urgencies[loan.state],
    sentence: asSentence(loan.why),
    slackHours: hours(loan.slackMinutes),
    mustArriveBy: loan.mustArriveBy,
    askExtensionTo: loan.askForExtensionTo,
    steps: loan.steps.map(stepView),
  };
}

function stepView(step: StepPlan): PlanStepView {
  return {
    code: step.kind,
    title: step.label,
    unitId: step.unitId,
    start: step.start,
    finish: step.finish,
    latestStart: step.latestStart,
    slackHours: hours(step.slackMinutes),
    done: step.state === 'done',
    binding: step.bindingConstraint,
  };
}

/** The engine speaks in clauses; a page shows sentences. */
const asSentence = (clause: string): string => {
  const text = clause.charAt(0).toUpperCase() + clause.slice(1);
  return /[.!?]$/.test(text) ? text : `${text}.`;
};

const hours = (minutes: number | null): number | null =>
  minutes === null ? null : Math.round(minutes / 6) / 10;

export const settledPlan: LoanPlanView = {
  urgency: 'settled',
  sentence: 'Closed.',
  slackHours: null,
  mustArriveBy: null,
  askExtensionTo: null,
  steps: [],
};
