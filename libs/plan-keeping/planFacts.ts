/** The facts a plan rests on, in short: what changed since it was accepted is why it should be looked at again. */
import { createHash } from 'node:crypto';
import { stepIdOf } from './loanProgress.js';
import type { PlanInput } from './planInput.js';

export interface LoanFact {
  readonly title: string;
  readonly arrival: string | null;
  readonly arrived: boolean;
  readonly returnBy: string | null;
  readonly sent: boolean;
  /** Embargo, freight, units and the rest of the terms the plan heeds. */
  readonly terms: string;
  /** Steps that are done or skipped. */
  readonly over: readonly string[];
}
export interface OwnCalendar {
  readonly name: string;
  readonly hours: string;
  /** `FROM/TO` of every absence to come. */
  readonly away: readonly string[];
}
export interface PlanFacts {
  readonly loans: Readonly<Record<string, LoanFact>>;
  readonly people: Readonly<Record<string, OwnCalendar>>;
  readonly places: Readonly<Record<string, OwnCalendar>>;
  readonly house: string;
  readonly templates: string;
}

export function planFacts({ engine, calendars, templates, loans, now }: PlanInput): PlanFacts {
  const ahead = (spans: readonly { from: string; to: string }[] = []): string[] =>
    spans.filter(({ to }) => new Date(to) > now).map(({ from, to }) => `${from}/${to}`);
  const calendar = (
    one: { name: string; away?: readonly { from: string; to: string }[] | undefined },
    rest: object,
  ) => ({
    name: one.name,
    hours: digest(rest),
    away: ahead(one.away),
  });
  return {
    loans: Object.fromEntries(
      engine.loans.map((loan, at) => [
        loan.id,
        {
          title: loan.title,
          arrival: loan.arrival,
          arrived: loan.arrived,
          returnBy: loan.returnBy,
          sent: loan.sentBack === true,
          terms: digest([
            loan.embargo ?? null,
            loan.freightDaysIn,
            loan.freightDaysOut,
            loan.keepUntilPublished,
            loans[at]?.units.map(({ id, kind, massKg }) => [id, kind, massKg]),
          ]),
          over: (loan.progress ?? [])
            .filter(({ state }) => state === 'done' || state === 'skipped')
            .map(({ kind, unitId }) => stepIdOf(kind, unitId))
            .sort(),
        },
      ]),
    ),
    people: Object.fromEntries(
      calendars.people.map((one) => [one.id, calendar(one, [one.zone, one.hours ?? null, one.does ?? null])]),
    ),
    places: Object.fromEntries(
      calendars.places.map((one) => [
        one.id,
        calendar({ name: one.name, away: one.closed }, [one.hours ?? null, one.capacity]),
      ]),
    ),
    house: digest(calendars.house),
    templates: digest(templates),
  };
}

export const factsHash = (facts: PlanFacts): string => digest(facts);

const digest = (value: unknown): string =>
  createHash('sha256').update(JSON.stringify(value)).digest('hex').slice(0, 32);
