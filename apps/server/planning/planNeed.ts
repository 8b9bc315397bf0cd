/** When the plan in force no longer holds, that is something to look at: what should change, and why. */
import type { LoanSummary, Need, Urgency } from '../../../libs/contracts/index.js';
import type { TeamPlan } from '../../../libs/plan-keeping/index.js';

const worst: readonly Urgency[] = ['late', 'at-risk', 'on-track', 'undated', 'settled'];
const CAUSES_SAID = 3;

export function planNeeds(team: TeamPlan, loans: readonly LoanSummary[]): Need[] {
  const { changes } = team.house;
  const touched = loans.filter(({ id }) => changes.some(({ row, next }) => (next ?? row)?.loanId === id));
  touched.sort((a, b) => worst.indexOf(a.plan.urgency) - worst.indexOf(b.plan.urgency));
  const [first] = touched;
  if (!first) return [];
  const asked = team.causes.find(({ loanId }) => loanId !== null)?.loanId;
  const times = changes.flatMap(({ row, next }) => [row?.start, next?.start].flatMap((at) => at ?? []));
  const soonest = new Date(Math.max(team.now.getTime(), Math.min(...times.map((at) => at.getTime()))));
  return [
    {
      id: 'plan-proposal',
      group: 'plan',
      urgency: first.plan.urgency,
      loanId: loans.some(({ id }) => id === asked) ? (asked ?? first.id) : first.id,
      unitId: null,
      title: 'The plan wants a look',
      sentence: `${countOf(changes.length)} ${reasons(team)}`.trim(),
      by: soonest.toLocaleDateString('sv-SE', { timeZone: team.zone }),
      waitsFor: 'the team',
    },
  ];
}

const countOf = (count: number): string =>
  count === 1 ? 'One booking should change.' : `${count} bookings should change.`;

function reasons({ causes }: TeamPlan): string {
  const said = causes.slice(0, CAUSES_SAID).map(({ sentence }) => sentence);
  const more = causes.length - said.length;
  return [...said, ...(more > 0 ? [`And ${more} more reason${more === 1 ? '' : 's'}.`] : [])].join(' ');
}
