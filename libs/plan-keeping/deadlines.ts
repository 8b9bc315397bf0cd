/**
 * Says each deadline once: at risk, late, seven, two and no days left, overdue, embargo over. A unique row per
 * loan, kind and date makes it once, across restarts and several servers; a changed date is a new deadline.
 */
import { DateTime } from 'luxon';
import type { DeadlineKind, LoanPlanView } from '../contracts/index.js';
import { change, dayOf, theHouse, type Change, type Database } from '../store/index.js';
import { addDeliveries } from '../notices/index.js';
import { dayWords } from './dayWords.js';
import { teamPlan } from './teamPlan.js';

interface Deadline {
  readonly kind: DeadlineKind;
  /** What the notice is about: the date it concerns. */
  readonly about: string;
  readonly sentence: string;
}

interface OpenLoan {
  readonly id: string;
  readonly title: string;
  readonly returnBy: Date | null;
  readonly deliveredOn: Date | null;
  readonly embargoUntil: Date | null;
  readonly publishedAt: Date | null;
}

export async function watchDeadlines(
  database: Database,
  now: Date,
  { emailWorks }: { readonly emailWorks: boolean },
): Promise<number> {
  const { plans, zone } = await teamPlan(database, now);
  const loans = await database.prisma.loan.findMany({
    where: { stage: { not: 'closed' } },
    select: {
      id: true,
      title: true,
      returnBy: true,
      deliveredOn: true,
      embargoUntil: true,
      publishedAt: true,
      notices: { select: { kind: true, about: true } },
    },
  });
  let told = 0;
  for (const { notices, ...loan } of loans) {
    const plan = plans.get(loan.id);
    const said = new Set(notices.map(({ kind, about }) => `${kind} ${about}`));
    const due = (plan ? deadlinesOf(loan, plan, now, zone) : []).filter(
      ({ kind, about }) => !said.has(`${kind} ${about}`),
    );
    if (plan && due.length > 0)
      told += await change(database, theHouse, (made) => tell(made, loan, plan, due, { emailWorks, now }));
  }
  return told;
}

async function tell(
  made: Change,
  loan: OpenLoan,
  plan: LoanPlanView,
  due: readonly Deadline[],
  { emailWorks, now }: { readonly emailWorks: boolean; readonly now: Date },
): Promise<number> {
  let told = 0;
  for (const { kind, about, sentence } of due) {
    const noticed = await made.tx.deadlineNotice.createMany({
      data: [{ loanId: loan.id, kind, about }],
      skipDuplicates: true,
    });
    if (noticed.count === 0) continue;
    told++;
    made.publish('team', 'deadline', {
      loanId: loan.id,
      title: loan.title,
      urgency: plan.urgency,
      kind,
      sentence,
    });
    made.record({
      action: `deadline-${kind}`,
      subject: 'loan',
      subjectId: loan.id,
      loanId: loan.id,
      // The history reads as a sentence about who did what.
      sentence: `reminded the team: ${sentence}`,
    });
    const occasion = { kind, loanId: loan.id, about: `${loan.id} ${kind} ${about}`, sentence };
    await addDeliveries(made, occasion, emailWorks, now);
  }
  return told;
}

export function deadlinesOf(loan: OpenLoan, plan: LoanPlanView, now: Date, zone: string): Deadline[] {
  const due: Deadline[] = [];
  const returnBy = dayOf(loan.returnBy);
  if (returnBy !== null && loan.deliveredOn === null) {
    if (plan.urgency === 'late') due.push({ kind: 'late', about: returnBy, sentence: plan.sentence });
    if (plan.urgency === 'at-risk') due.push({ kind: 'at-risk', about: returnBy, sentence: plan.sentence });
    due.push(...countdown(returnBy, now, zone));
  }
  if (loan.embargoUntil !== null && loan.embargoUntil <= now && loan.publishedAt === null) {
    due.push({
      kind: 'embargo-lifted',
      about: loan.embargoUntil.toISOString(),
      sentence: 'The embargo has lifted: the review may be published.',
    });
  }
  return due;
}

/** Only the nearest reminder is due: a server that was off for a week does not send three at once. */
function countdown(returnBy: string, now: Date, zone: string): Deadline[] {
  const today = DateTime.fromJSDate(now, { zone }).startOf('day');
  const days = Math.round(DateTime.fromISO(returnBy, { zone }).startOf('day').diff(today, 'days').days);
  const day = dayWords(returnBy, today.toFormat('yyyy-MM-dd'));
  if (days < 0) return [{ kind: 'overdue', about: returnBy, sentence: `It was due back on ${day}.` }];
  if (days === 0) return [{ kind: 'due-today', about: returnBy, sentence: 'It is due back today.' }];
  const inDays = `It is due back in ${days} day${days === 1 ? '' : 's'}, on ${day}.`;
  if (days <= 2) return [{ kind: 'due-in-2-days', about: returnBy, sentence: inDays }];
  if (days <= 7) return [{ kind: 'due-in-7-days', about: returnBy, sentence: inDays }];
  return [];
}
