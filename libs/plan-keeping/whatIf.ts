/** A loan that does not exist yet, planned beside those there are: when could it be reviewed and returned? */
import type { z } from 'zod';
import type { Urgency, WhatIf, WhatIfView } from '../contracts/index.js';
import type { LoanInput, LoanPlan } from '../planning/planLoans.js';
import type { Database } from '../store/index.js';
import { inHouseTerms } from './housePlan.js';
import { atLocal, planInput } from './planInput.js';
import { runPlan } from './planner.js';
import { differenceViews, loadNames, problemView, type Names } from './planViews.js';
import { teamPlan, viewOf, type TeamPlan } from './teamPlan.js';

const ID = 'what-if';
const Day = 24 * 3600_000;
const rank: readonly Urgency[] = ['settled', 'undated', 'on-track', 'at-risk', 'late'];

export async function whatIf(
  database: Database,
  ask: z.output<typeof WhatIf>,
  now: Date,
): Promise<WhatIfView> {
  const team = await teamPlan(database, now);
  const [input, names] = await Promise.all([planInput(database.prisma, now), loadNames(database.prisma)]);
  const engine = {
    ...input.engine,
    // The others stand where they should: what moves then, moves for the newcomer.
    previous: team.house.engineBookings,
    loans: [...input.engine.loans, loanOf(ask, input.zone, now)],
  };
  const house = inHouseTerms({ ...input, engine }, await runPlan(engine));
  const own = house.loans.find(({ loanId }) => loanId === ID);
  if (!own) throw new Error('The engine forgot the loan it was asked about.');
  const view = viewOf(own);
  return {
    urgency: view.urgency,
    sentence: view.sentence,
    reviewedAt: own.reviewedAt,
    publishedAt: own.publishedAt,
    readyToSendAt: own.readyToSendAt,
    returnedAt: own.returnedAt,
    mustArriveBy: view.mustArriveBy,
    askExtensionTo: view.askExtensionTo,
    steps: view.steps,
    changes: differenceViews(
      team.house.bookings,
      house.bookings.filter(({ loanId }) => loanId !== ID),
      names,
      input.zone,
    ),
    worse: worseOff(team, house.loans, names),
    problems: house.problems.filter(({ loanId }) => loanId === ID).map(problemView),
  };
}

function worseOff(team: TeamPlan, after: readonly LoanPlan[], names: Names): WhatIfView['worse'] {
  const others = new Map(after.map((loan) => [loan.loanId, viewOf(loan).urgency]));
  return [...team.plans].flatMap(([loanId, { urgency: before }]) => {
    const then = others.get(loanId) ?? before;
    const worse = rank.indexOf(then) > rank.indexOf(before);
    return worse ? [{ loanId, title: names.loan(loanId), before, after: then }] : [];
  });
}

function loanOf(ask: z.output<typeof WhatIf>, zone: string, now: Date): LoanInput {
  return {
    id: ID,
    title: ask.title,
    // Sent today: a day more than the freight takes, weekends at their share.
    arrival:
      ask.arrival ?? new Date(now.getTime() + Math.ceil(((ask.freightDays + 1) * 7) / 5) * Day).toISOString(),
    arrived: false,
    returnBy: ask.returnBy === null ? null : atLocal(ask.returnBy, '18:00', zone),
    embargo: ask.embargoUntil,
    freightDaysIn: ask.freightDays,
    freightDaysOut: ask.freightDays,
    keepUntilPublished: ask.keepUntilPublished,
    units: ask.units.map(({ name, kind, massKg }, at) => ({ id: `${ID}-${at + 1}`, name, kind, massKg })),
  };
}
