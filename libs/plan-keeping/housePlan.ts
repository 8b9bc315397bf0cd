/** One run of the engine over the house, in the house's own terms: its sessions, its bookings, what should change. */
import type { Booking, LoanPlan, LoanPlans, PlanProblem, StepPlan } from '../planning/planLoans.js';
import { peopleOf, placeOf, type BookingRow } from './bookingRows.js';
import { isHold } from './loanTemplates.js';
import type { PlanInput } from './planInput.js';
import { runPlan } from './planner.js';
import { stepTemplate } from './workTemplates.js';

/** A booking as it should stand. */
export interface PlannedBooking {
  readonly loanId: string;
  readonly unitId: string | null;
  readonly stepId: string;
  readonly kind: string;
  readonly label: string;
  readonly session: number;
  readonly start: Date;
  readonly finish: Date;
  readonly people: readonly string[];
  readonly place: string | null;
  readonly units: readonly string[];
  readonly pinned: boolean;
}

export interface BookingMove {
  readonly change: 'added' | 'removed' | 'moved' | 'reassigned';
  readonly row: BookingRow | null;
  readonly next: PlannedBooking | null;
}

export interface HousePlan {
  readonly input: PlanInput;
  readonly loans: readonly LoanPlan[];
  readonly bookings: readonly PlannedBooking[];
  readonly changes: readonly BookingMove[];
  readonly problems: readonly PlanProblem[];
  /** The same bookings as the engine numbers them, its holds included: to plan on from. */
  readonly engineBookings: readonly Booking[];
}

export async function housePlan(input: PlanInput): Promise<HousePlan> {
  return inHouseTerms(input, await runPlan(input.engine));
}

export function inHouseTerms(input: PlanInput, plans: LoanPlans): HousePlan {
  const steps = new Map<string, StepPlan>();
  for (const loan of plans.loans)
    for (const step of loan.steps) steps.set(`${loan.loanId}/${step.stepId}`, step);
  const bookings = plans.bookings.flatMap((booking) => {
    const key = `${booking.loanId}/${booking.stepId}`;
    const step = steps.get(key);
    if (!step || isHold(step.kind)) return [];
    const place = input.calendars.places.find(({ id }) => booking.resourceIds.includes(id))?.id ?? null;
    return [
      {
        loanId: booking.loanId,
        unitId: step.unitId,
        stepId: booking.stepId,
        kind: step.kind,
        label: step.label,
        session: input.standings.get(key)?.sessionNumber(booking.session) ?? booking.session,
        start: new Date(booking.start),
        finish: new Date(booking.finish),
        people: booking.resourceIds.filter((id) => id !== place),
        place,
        units: unitsOf(input, booking.loanId, step),
        pinned: booking.pinned,
      },
    ];
  });
  return {
    input,
    loans: plans.loans.map((loan) => withoutHolds(loan)),
    bookings,
    changes: movesTo(input, bookings),
    engineBookings: plans.bookings,
    problems: plans.problems.filter(({ bookingId }) => !isHold(bookingId?.split('/')[1] ?? '')),
  };
}

/** The cabinets a session needs at hand: the same rule as the engine's. */
function unitsOf({ loans, templates }: PlanInput, loanId: string, step: StepPlan): string[] {
  const units = loans.find(({ id }) => id === loanId)?.units ?? [];
  const needed = step.kind === 'pack' || stepTemplate(templates, units, step.kind)?.needsUnit === true;
  if (!needed) return [];
  return step.unitId === null ? units.map(({ id }) => id) : [step.unitId];
}

const withoutHolds = (loan: LoanPlan): LoanPlan => ({
  ...loan,
  steps: loan.steps.filter(({ kind }) => !isHold(kind)),
});

const keyOf = (one: { loanId: string; stepId: string; session: number }): string =>
  `${one.loanId}/${one.stepId}/${one.session}`;

/** From what may still be planned anew to what should stand instead. */
function movesTo({ standings }: PlanInput, bookings: readonly PlannedBooking[]): BookingMove[] {
  const rows = [...standings.values()].flatMap(({ movable }) => movable);
  return differences(rows, bookings, (row) => ({ ...row, people: peopleOf(row), place: placeOf(row) })).map(
    ({ change, before, after }) => ({ change, row: before, next: after }),
  );
}

type Placed = Pick<PlannedBooking, 'start' | 'finish' | 'people' | 'place'>;
type Key = Pick<PlannedBooking, 'loanId' | 'stepId' | 'session'>;

/** What became of each booking, by loan, step and session. */
export function differences<Before extends Key>(
  before: readonly Before[],
  after: readonly PlannedBooking[],
  placed: (one: Before) => Placed,
): { change: BookingMove['change']; before: Before | null; after: PlannedBooking | null }[] {
  const left = new Map(before.map((one) => [keyOf(one), one]));
  const changes: { change: BookingMove['change']; before: Before | null; after: PlannedBooking | null }[] =
    [];
  for (const next of after) {
    const was = left.get(keyOf(next)) ?? null;
    left.delete(keyOf(next));
    const change = was === null ? 'added' : changeBetween(placed(was), next);
    if (change) changes.push({ change, before: was, after: next });
  }
  for (const was of left.values()) changes.push({ change: 'removed', before: was, after: null });
  return changes;
}

function changeBetween(was: Placed, next: Placed): BookingMove['change'] | undefined {
  if (was.start.getTime() !== next.start.getTime() || was.finish.getTime() !== next.finish.getTime())
    return 'moved';
  const same = was.place === next.place && [...was.people].sort().join() === [...next.people].sort().join();
  return same ? undefined : 'reassigned';
}
