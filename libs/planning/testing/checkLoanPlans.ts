import { DateTime } from 'luxon';
import type { WeeklyHours } from '../calendar/openWindows.js';
import { defaultTemplates } from '../loan/templates.js';
import type { Booking, LoanInput, LoanPlans, PlanLoansInput, StepTemplate } from '../loan/types.js';

/**
 * An independent check of a loan plan: every booking is looked at minute by minute on the wall clock of each person and
 * place it takes. Nothing shared with the planner but its input types. For tests; slow.
 */
export function checkLoanPlans(input: PlanLoansInput, plans: LoanPlans): string[] {
  return [
    ...plans.bookings.flatMap((booking) => checkHours(input, booking)),
    ...checkOverlaps(input, plans),
    ...input.loans.flatMap((loan) => checkLoan(input, plans, loan)),
  ];
}

const usualHours: readonly WeeklyHours[] = [1, 2, 3, 4, 5].map((weekday) => ({
  weekday,
  from: '09:00',
  to: '18:00',
}));

function templateOf(input: PlanLoansInput, loan: LoanInput, stepId: string): StepTemplate | undefined {
  const [kind, unitId] = stepId.split(':');
  const templates = input.templates ?? defaultTemplates;
  const units = unitId === undefined ? loan.units : loan.units.filter(({ id }) => id === unitId);
  return units
    .flatMap((unit) => templates[unit.kind] ?? templates.other ?? [])
    .filter((step) => step.kind === kind)
    .toSorted((a, b) => b.minutes - a.minutes)[0];
}

function checkHours(input: PlanLoansInput, booking: Booking): string[] {
  const loan = input.loans.find(({ id }) => id === booking.loanId);
  const step = loan && templateOf(input, loan, booking.stepId);
  if (!loan || !step) return [`${booking.id}: no such loan or step`];
  const { house } = input;
  const wrong: string[] = [];
  const people = input.people.filter(({ id }) => booking.resourceIds.includes(id));
  const heavy = loan.units.some(({ massKg }) => (massKg ?? 0) > 23) && ['unpack', 'pack'].includes(step.kind);
  if (people.length !== Math.max(step.people, heavy ? 2 : 0))
    wrong.push(`${booking.id}: ${people.length} people`);
  for (const person of people) {
    const zone = person.zone ?? house.zone;
    if (!within(booking, zone, person.hours ?? house.hours ?? usualHours, house.holidays)) {
      wrong.push(`${booking.id}: outside the hours of ${person.name}`);
    }
    if ((person.away ?? []).some(({ from, to }) => overlaps(booking, from, to)))
      wrong.push(`${booking.id}: ${person.name} is away`);
  }
  const place = input.places.find(({ id }) => booking.resourceIds.includes(id));
  if ((place?.id ?? undefined) !== step.place)
    wrong.push(`${booking.id}: in ${place?.id} instead of ${step.place}`);
  if (place?.closed?.some(({ from, to }) => overlaps(booking, from, to)))
    wrong.push(`${booking.id}: ${place.id} is closed`);
  if (place?.hours && !step.unattended && !within(booking, house.zone, place.hours))
    wrong.push(`${booking.id}: ${place.id} is shut`);
  if (
    step.loud &&
    !within(booking, house.zone, house.loudHours ?? house.hours ?? usualHours, house.holidays)
  ) {
    wrong.push(`${booking.id}: loud outside loud hours`);
  }
  return wrong;
}

function overlaps({ start, finish }: Booking, from: string, to: string): boolean {
  return Date.parse(start) < Date.parse(to) && Date.parse(from) < Date.parse(finish);
}

/** Whether every quarter of an hour of a booking lies in weekly hours on the wall clock of a zone. */
function within(
  booking: Booking,
  zone: string,
  hours: readonly WeeklyHours[],
  holidays: readonly string[] = [],
): boolean {
  const finish = DateTime.fromISO(booking.finish, { zone });
  for (let at = DateTime.fromISO(booking.start, { zone }); at < finish; at = at.plus({ minutes: 15 })) {
    if (holidays.includes(at.toISODate() ?? '')) return false;
    const clock = at.toFormat('HH:mm');
    if (!hours.some(({ weekday, from, to }) => weekday === at.weekday && from <= clock && clock < to))
      return false;
  }
  return true;
}

/** No person and no unit twice at once, no place above its capacity. */
function checkOverlaps(input: PlanLoansInput, { bookings }: LoanPlans): string[] {
  const capacity = new Map<string, number>(input.places.map(({ id, capacity: units }) => [id, units ?? 1]));
  const byResource = new Map<string, Booking[]>();
  for (const booking of bookings) {
    for (const id of [...booking.resourceIds, ...unitsOf(input, booking)]) {
      byResource.set(id, [...(byResource.get(id) ?? []), booking]);
    }
  }
  return [...byResource].flatMap(([id, users]) =>
    users.flatMap((user) => {
      const at = Date.parse(user.start);
      const together = users.filter(
        ({ start, finish }) => Date.parse(start) <= at && at < Date.parse(finish),
      );
      return together.length > (capacity.get(id) ?? 1)
        ? [`${id}: ${together.map((one) => one.id).join(' and ')} at once`]
        : [];
    }),
  );
}

function unitsOf(input: PlanLoansInput, booking: Booking): string[] {
  const loan = input.loans.find(({ id }) => id === booking.loanId);
  const step = loan && templateOf(input, loan, booking.stepId);
  if (!loan || !(step?.needsUnit || step?.kind === 'pack')) return [];
  const [, unitId] = booking.stepId.split(':');
  return loan.units
    .filter(({ id }) => unitId === undefined || id === unitId)
    .map(({ id }) => `${loan.id}/${id}`);
}

function checkLoan(input: PlanLoansInput, plans: LoanPlans, loan: LoanInput): string[] {
  const own = plans.bookings.filter(({ loanId }) => loanId === loan.id);
  if (loan.sentBack || (!loan.arrived && loan.arrival === null)) {
    return own.length > 0 ? [`${loan.id}: has bookings without being here or coming`] : [];
  }
  const now = Date.parse(input.now);
  const earliest = Math.max(now, loan.arrived || loan.arrival === null ? 0 : Date.parse(loan.arrival));
  const wrong: string[] = [];
  for (const booking of own) {
    const start = Date.parse(booking.start);
    const begun = input.previous?.some(
      ({ id, start: was }) => id === booking.id && was === booking.start && start < now,
    );
    if (start < earliest && !begun) wrong.push(`${booking.id}: before it can be`);
    if (booking.stepId === 'publish' && loan.embargo && start < Date.parse(loan.embargo))
      wrong.push(`${booking.id}: under embargo`);
  }
  return [...wrong, ...checkSteps(input, plans, loan, own)];
}

function checkSteps(
  input: PlanLoansInput,
  plans: LoanPlans,
  loan: LoanInput,
  own: readonly Booking[],
): string[] {
  const wrong: string[] = [];
  const plan = plans.loans.find(({ loanId }) => loanId === loan.id);
  const span = (stepId: string): { start: number; finish: number } | null => {
    const sessions = own.filter((booking) => booking.stepId === stepId);
    if (sessions.length === 0) return null;
    return {
      start: Math.min(...sessions.map(({ start }) => Date.parse(start))),
      finish: Math.max(...sessions.map(({ finish }) => Date.parse(finish))),
    };
  };
  for (const { stepId, state } of plan?.steps ?? []) {
    const template = templateOf(input, loan, stepId);
    const [, unitId] = stepId.split(':');
    const known = loan.progress?.find((entry) => entry.kind === template?.kind && entry.unitId === unitId);
    if (!template || known?.state === 'done' || known?.state === 'skipped') continue;
    const sessions = own.filter((booking) => booking.stepId === stepId);
    const booked = sessions.reduce(
      (sum, { start, finish }) => sum + (Date.parse(finish) - Date.parse(start)) / 60_000,
      0,
    );
    const several = template.per === 'loan' && template.combine === 'sum' ? loan.units.length : 1;
    const needed = known?.remainingMinutes ?? (template.per === 'loan' && several > 1 ? 0 : template.minutes);
    if (booked < needed) wrong.push(`${loan.id}/${stepId}: ${booked} of ${needed} minutes booked (${state})`);
    const days = sessions.map(({ start }) => DateTime.fromISO(start, { zone: input.house.zone }).toISODate());
    if (template.separateDays && new Set(days).size < days.length)
      wrong.push(`${loan.id}/${stepId}: two sessions on one day`);
    const after = new Set<string>(template.after);
    if (template.kind === 'pack' && loan.keepUntilPublished) after.add('publish');
    for (const other of plan?.steps ?? []) {
      const otherTemplate = templateOf(input, loan, other.stepId);
      const [otherKind, otherUnit] = other.stepId.split(':');
      const waits = after.has(otherKind) || (template.kind === 'pack' && otherTemplate?.needsUnit === true);
      if (
        !waits ||
        other.stepId === stepId ||
        (unitId !== undefined && otherUnit !== undefined && unitId !== otherUnit)
      )
        continue;
      const [before, mine] = [span(other.stepId), span(stepId)];
      const pinned = sessions.some((session) => session.pinned);
      if (before && mine && before.finish > mine.start && !pinned)
        wrong.push(`${loan.id}/${stepId}: begins before ${other.stepId} is over`);
    }
  }
  return wrong;
}
