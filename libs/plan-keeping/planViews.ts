/** The plan in words and names, for pages. */
import type { BookingView, PlanChange, PlanProblemView, PlanView, Spot } from '../contracts/index.js';
import type { PlanProblem } from '../planning/planLoans.js';
import type { Tx } from '../store/index.js';
import { peopleOf, placeOf, type BookingRow } from './bookingRows.js';
import { differences, type BookingMove, type PlannedBooking } from './housePlan.js';
import { whenWords } from './planCauses.js';
import type { TeamPlan } from './teamPlan.js';

export interface Names {
  person(id: string): string;
  place(id: string): string;
  loan(id: string): string;
  unit(id: string): string | null;
}

/** Of everybody and everything there ever was: bookings of the past name those who have left. */
export async function loadNames(tx: Tx): Promise<Names> {
  const [people, places, loans, units] = await Promise.all([
    tx.account.findMany({ select: { id: true, name: true } }),
    tx.place.findMany({ select: { id: true, name: true } }),
    tx.loan.findMany({ select: { id: true, title: true } }),
    tx.unit.findMany({ select: { id: true, name: true } }),
  ]);
  const of = (rows: readonly { id: string; name: string }[]) =>
    new Map(rows.map(({ id, name }) => [id, name]));
  const [person, place, unit] = [of(people), of(places), of(units)];
  const loan = new Map(loans.map(({ id, title }) => [id, title]));
  return {
    person: (id) => person.get(id) ?? 'somebody',
    place: (id) => place.get(id) ?? id,
    loan: (id) => loan.get(id) ?? '',
    unit: (id) => unit.get(id) ?? null,
  };
}

export function planView(team: TeamPlan, names: Names): PlanView {
  return {
    version: team.version,
    acceptedAt: team.acceptedAt?.toISOString() ?? null,
    acceptedBy: team.acceptedBy,
    timeZone: team.zone,
    changes: changeViews(team.house.changes, names, team.zone),
    // Facts that ask nothing of the plan are no news here.
    causes: team.house.changes.length === 0 ? [] : [...team.causes],
    problems: team.house.problems.map(problemView),
  };
}

interface Shown {
  readonly change: PlanChange['change'];
  readonly bookingId: string | null;
  readonly one: Pick<PlannedBooking, 'loanId' | 'label' | 'session'>;
  readonly before: Spot | null;
  readonly after: Spot | null;
}

export function changeViews(moves: readonly BookingMove[], names: Names, zone: string): PlanChange[] {
  const shown = moves.flatMap(({ change, row, next }): Shown[] => {
    const one = next ?? row;
    const before = row && rowSpot(row, names);
    return one
      ? [{ change, bookingId: row?.id ?? null, one, before, after: next && plannedSpot(next, names) }]
      : [];
  });
  return inOrder(shown.map((one) => changeView(one, names, zone)));
}

/** From one plan to another, neither of them in force. */
export function differenceViews(
  before: readonly PlannedBooking[],
  after: readonly PlannedBooking[],
  names: Names,
  zone: string,
): PlanChange[] {
  const shown = differences(before, after, (one) => one).flatMap(
    ({ change, before: was, after: is }): Shown[] => {
      const one = is ?? was;
      const spots = { before: was && plannedSpot(was, names), after: is && plannedSpot(is, names) };
      return one ? [{ change, bookingId: null, one, ...spots }] : [];
    },
  );
  return inOrder(shown.map((one) => changeView(one, names, zone)));
}

function changeView(
  { change, bookingId, one, before, after }: Shown,
  names: Names,
  zone: string,
): PlanChange {
  const { loanId, label, session } = one;
  const loanTitle = names.loan(loanId);
  const sentence = changeWords({ change, label, loanTitle, before, after }, zone);
  return { change, bookingId, loanId, loanTitle, label, session, before, after, sentence };
}

function inOrder(changes: PlanChange[]): PlanChange[] {
  const when = ({ before, after }: PlanChange): string => after?.start ?? before?.start ?? '';
  return changes.sort((a, b) => when(a).localeCompare(when(b)) || a.sentence.localeCompare(b.sentence));
}

function changeWords(
  one: Pick<PlanChange, 'change' | 'label' | 'loanTitle' | 'before' | 'after'>,
  zone: string,
): string {
  const what = `“${one.label}” of ${one.loanTitle}`;
  const when = (spot: Spot | null) => (spot ? whenWords(new Date(spot.start), zone) : '');
  const who = (spot: Spot | null) => spot?.people.map(({ name }) => name).join(' and ') ?? '';
  const withWhom = who(one.after) === '' ? '' : `, with ${who(one.after)}`;
  switch (one.change) {
    case 'added':
      return `${what} is put at ${when(one.after)}${withWhom}.`;
    case 'removed':
      return `${what} at ${when(one.before)} is dropped.`;
    case 'moved': {
      const others = who(one.before) === who(one.after) ? '' : withWhom;
      return when(one.before) === when(one.after)
        ? `${what} at ${when(one.after)} takes another length${others}.`
        : `${what} moves from ${when(one.before)} to ${when(one.after)}${others}.`;
    }
    case 'reassigned':
      return `${what} at ${when(one.after)} goes from ${who(one.before)} to ${who(one.after)}.`;
  }
}

const place = (id: string | null, names: Names): Spot['place'] =>
  id === null ? null : { id, name: names.place(id) };
const people = (ids: readonly string[], names: Names): Spot['people'] =>
  ids.map((id) => ({ id, name: names.person(id) }));

export const rowSpot = (row: BookingRow, names: Names): Spot => ({
  start: row.start.toISOString(),
  finish: row.finish.toISOString(),
  people: people(peopleOf(row), names),
  place: place(placeOf(row), names),
});
const plannedSpot = (next: PlannedBooking, names: Names): Spot => ({
  start: next.start.toISOString(),
  finish: next.finish.toISOString(),
  people: people(next.people, names),
  place: place(next.place, names),
});

export function bookingView(row: BookingRow, names: Names, now: Date): BookingView {
  const state =
    row.cancelledAt !== null
      ? 'cancelled'
      : row.finish <= now
        ? 'over'
        : row.start <= now
          ? 'under-way'
          : 'planned';
  return {
    ...rowSpot(row, names),
    id: row.id,
    loanId: row.loanId,
    loanTitle: names.loan(row.loanId),
    unitId: row.unitId,
    unitName: row.unitId === null ? null : names.unit(row.unitId),
    stepId: row.stepId,
    kind: row.kind,
    label: row.label,
    session: row.session,
    pinned: row.pinned,
    outcome: row.outcome,
    state,
    version: row.version,
  };
}

export const problemView = ({ code, message, loanId, bookingId }: PlanProblem): PlanProblemView => ({
  code,
  message,
  loanId: loanId ?? null,
  bookingId: bookingId ?? null,
});
