import { IANAZone } from 'luxon';
import { minutesOfDay, type WeeklyHours } from '../calendar/openWindows.js';
import type { LoanInput, PlanLoansInput, PlanProblem, WorkTemplates } from './types.js';

/**
 * What is wrong with an input, and the input without it: a date that cannot be read counts as not agreed, hours that
 * cannot be read as the usual ones. A plan with a gap that is named beats no plan.
 *
 * @throws RangeError when `now` or the zone of the house cannot be read: without them there is nothing to plan by
 */
export function checkedInput(input: PlanLoansInput): { input: PlanLoansInput; problems: PlanProblem[] } {
  if (Number.isNaN(Date.parse(input.now)))
    throw new RangeError(`now: expected an ISO 8601 instant, got "${input.now}"`);
  if (!IANAZone.isValidZone(input.house.zone)) {
    throw new RangeError(
      `house.zone: expected an IANA zone such as "Europe/Vienna", got "${input.house.zone}"`,
    );
  }
  const slotMinutes = input.slotMinutes ?? 15;
  if (!Number.isInteger(slotMinutes) || slotMinutes < 1 || 60 % slotMinutes !== 0) {
    throw new RangeError(`slotMinutes: expected a divisor of 60, got ${slotMinutes}`);
  }
  const problems: PlanProblem[] = [];
  const add = (code: string, message: string, loanId?: string): void => {
    problems.push({ code, message, ...(loanId === undefined ? {} : { loanId }) });
  };
  reportTwice(input.people, 'person', add);
  reportTwice(input.places, 'place', add);
  reportTwice(input.loans, 'loan', add);
  reportTemplates(input.templates ?? {}, add);
  const house = {
    ...input.house,
    hours: hours(input.house.hours, 'the house', add),
    loudHours: hours(input.house.loudHours, 'loud work', add),
  };
  const people = firstOfEach(input.people).map((person) => {
    const zoneIsRight = person.zone === undefined || IANAZone.isValidZone(person.zone);
    if (!zoneIsRight)
      add('bad-zone', `${person.name}: "${person.zone}" is no IANA zone; the zone of the house is taken.`);
    return {
      ...person,
      zone: zoneIsRight ? person.zone : undefined,
      hours: hours(person.hours, person.name, add),
    };
  });
  const places = firstOfEach(input.places).map((place) => ({
    ...place,
    hours: hours(place.hours, place.name, add),
  }));
  const loans = firstOfEach(input.loans).map((loan) => checkedLoan(loan, add));
  return { input: { ...input, house, people, places, loans }, problems };
}

type Add = (code: string, message: string, loanId?: string) => void;

function reportTwice(list: readonly { readonly id: string }[], what: string, add: Add): void {
  const seen = new Set<string>();
  for (const { id } of list) {
    if (seen.has(id)) add('duplicate-id', `${what} "${id}" is listed twice; the first counts.`);
    seen.add(id);
  }
}

function firstOfEach<T extends { readonly id: string }>(list: readonly T[]): T[] {
  const seen = new Set<string>();
  return list.filter(({ id }) => !seen.has(id) && seen.add(id) !== undefined);
}

function hours(
  list: readonly WeeklyHours[] | undefined,
  whose: string,
  add: Add,
): readonly WeeklyHours[] | undefined {
  return list?.filter(({ weekday, from, to }) => {
    const right = weekday >= 1 && weekday <= 7 && minutesOfDay(from) < minutesOfDay(to);
    if (!right)
      add(
        'bad-hours',
        `Hours of ${whose}: expected a weekday 1-7 and HH:MM to a later HH:MM, got ${weekday} ${from}-${to}; left out.`,
      );
    return right;
  });
}

function checkedLoan(loan: LoanInput, add: Add): LoanInput {
  const date = (value: string | null | undefined, what: string): string | null => {
    if (value === null || value === undefined) return null;
    if (!Number.isNaN(Date.parse(value))) return value;
    add(
      'bad-date',
      `${loan.title}: ${what} is "${value}", not an ISO 8601 instant; it counts as not agreed.`,
      loan.id,
    );
    return null;
  };
  if (loan.units.length === 0)
    add('no-units', `${loan.title} has no units: there is nothing to plan. Add them.`, loan.id);
  return {
    ...loan,
    arrival: date(loan.arrival, 'the arrival'),
    returnBy: date(loan.returnBy, 'the return date'),
    embargo: date(loan.embargo, 'the embargo'),
    publishBy: date(loan.publishBy, 'the wanted publication'),
  };
}

function reportTemplates(templates: WorkTemplates, add: Add): void {
  for (const [kind, steps] of Object.entries(templates)) {
    for (const step of steps) {
      if (Number.isFinite(step.minutes) && step.minutes >= 0) continue;
      add(
        'bad-template',
        `Template ${kind}, "${step.label}": expected minutes of 0 or more, got ${step.minutes}.`,
      );
    }
  }
}
