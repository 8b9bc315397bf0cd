/** The first screen's answer in words: what will go back late, and what is next. */
import type { DashboardView, Need, Urgency } from '../contracts.js';
import { count } from '../words/numbers.js';

const rank: Readonly<Record<Urgency, number>> = {
  late: 0,
  'at-risk': 1,
  'on-track': 2,
  undated: 3,
  settled: 4,
};

export function headline(view: DashboardView): string {
  const live = view.loans.filter((loan) => loan.stage !== 'closed');
  const late = live.filter((loan) => loan.plan.urgency === 'late');
  const risk = live.filter((loan) => loan.plan.urgency === 'at-risk');
  if (live.length === 0) return 'Nothing is on loan.';
  const only = late[0];
  if (only && late.length === 1) {
    return risk.length > 0
      ? `${only.title} will go back late; ${risk.length} more at risk.`
      : `${only.title} will go back late.`;
  }
  if (late.length > 1)
    return `${late.length} loans will go back late${risk.length > 0 ? `; ${risk.length} more at risk` : ''}.`;
  if (risk.length > 0) return `Nothing is late; ${count(risk.length, 'loan is', 'loans are')} at risk.`;
  return 'Everything goes back on time.';
}

/** The most pressing first: late before at risk, then the nearer day. */
export function inOrder(needs: readonly Need[]): Need[] {
  return [...needs].sort(
    (a, b) =>
      rank[a.urgency] - rank[b.urgency] ||
      (a.by ?? '9').localeCompare(b.by ?? '9') ||
      a.title.localeCompare(b.title),
  );
}

/** Where a need is seen to. */
export function placeOf(need: Need): string {
  if (need.group === 'plan') return '/plan/proposal';
  return need.unitId ? `/units/${need.unitId}` : `/loans/${need.loanId}`;
}

export const groupWords: Readonly<Record<Need['group'], { title: string; none: string }>> = {
  due: { title: 'Due', none: 'Nothing is due.' },
  'at-risk': { title: 'At risk', none: 'Nothing is at risk.' },
  plan: { title: 'The plan', none: 'The plan stands.' },
  measurements: { title: 'Waiting on measurements', none: 'Every data set is in.' },
  listening: { title: 'Waiting on listening', none: 'Nothing waits to be heard.' },
  'sign-off': { title: 'Waiting on sign-off', none: 'Nothing waits for a sign-off.' },
  paperwork: { title: 'Paperwork', none: 'Nothing to file or sign.' },
};
export const groups = Object.keys(groupWords) as Need['group'][];
