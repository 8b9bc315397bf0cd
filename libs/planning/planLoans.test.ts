import { DateTime } from 'luxon';
import { describe, expect, it } from 'vitest';
import {
  planLoans,
  type LoanInput,
  type LoanPlan,
  type PlanLoansInput,
  type StepPlan,
  type WorkTemplates,
} from './planLoans.js';
import { whatIf } from './whatIf.js';

const zone = 'Europe/Vienna';
const at = (text: string): string => DateTime.fromISO(text, { zone }).toUTC().toISO() as string;

function loan(changes: Partial<LoanInput> = {}): LoanInput {
  return {
    id: 'a',
    title: 'Loan A',
    arrival: at('2026-03-03T10:00'),
    arrived: false,
    returnBy: at('2026-03-27T18:00'),
    freightDaysIn: 3,
    freightDaysOut: 3,
    keepUntilPublished: false,
    units: [{ id: 'u', name: 'Unit U', kind: 'standmount' }],
    ...changes,
  };
}

function house(changes: Partial<PlanLoansInput> = {}): PlanLoansInput {
  return {
    now: at('2026-03-02T09:00'),
    house: { zone },
    people: [
      { id: 'ada', name: 'Ada' },
      { id: 'bo', name: 'Bo' },
    ],
    places: [
      { id: 'rig', name: 'the rig' },
      { id: 'room', name: 'the listening room' },
    ],
    loans: [loan()],
    ...changes,
  };
}

/** Two days of the simplest work: half a day on the rig, then packing, both by Ada. */
const plain: WorkTemplates = {
  standmount: [
    {
      kind: 'orbits',
      label: 'Orbits',
      minutes: 240,
      per: 'unit',
      after: [],
      people: 1,
      place: 'rig',
      needsUnit: true,
    },
    {
      kind: 'pack',
      label: 'Pack',
      minutes: 60,
      per: 'loan',
      combine: 'sum',
      after: ['orbits'],
      people: 1,
      needsUnit: false,
    },
  ],
};
const alone = { templates: plain, people: [{ id: 'ada', name: 'Ada' }] };

function step(plan: LoanPlan | undefined, stepId: string): StepPlan | undefined {
  return plan?.steps.find((one) => one.stepId === stepId);
}

describe('planLoans', () => {
  it('books every step of a loan, and tells when the crate must arrive', () => {
    const { loans, bookings, problems } = planLoans(house());
    expect(problems).toEqual([]);
    expect(loans[0].state).toBe('on-track');
    expect(loans[0].lateMinutes).toBe(0);
    expect(new Set(bookings.map(({ stepId }) => stepId)).size).toBe(11);
    // Three carrier days before Friday 27 March: collected by the close of Tuesday 24.
    expect(loans[0].sendBackBy).toBe(at('2026-03-24T18:00'));
    expect(Date.parse(loans[0].mustArriveBy ?? '')).toBeLessThan(Date.parse(loans[0].sendBackBy ?? ''));
  });

  it('counts latest starts back from the return date (worked by hand)', () => {
    const { loans } = planLoans(house(alone));
    // Packed by Tuesday 24 March 18:00: pack from 17:00, the rig from 13:00.
    expect(step(loans[0], 'pack')?.latestStart).toBe(at('2026-03-24T17:00'));
    expect(step(loans[0], 'orbits:u')).toMatchObject({
      start: at('2026-03-03T10:00'),
      latestStart: at('2026-03-24T13:00'),
      slackMinutes: 21 * 1440 + 180,
      bindingConstraint: 'cannot start before Tue 3 Mar 10:00: the crate has not arrived before',
    });
    expect(loans[0].mustArriveBy).toBe(at('2026-03-24T13:00'));
    // In transit three carrier days: Thursday 19, Friday 20, Monday 23; it arrives by Monday's close.
    expect(loans[0].makerMustSendBy).toBe(at('2026-03-18T18:00'));
  });

  it('does not spend the same slack twice', () => {
    const loans = [
      loan(),
      loan({ id: 'b', title: 'Loan B', units: [{ id: 'v', name: 'V', kind: 'standmount' }] }),
    ];
    const plans = planLoans(house({ ...alone, loans }));
    const latest = plans.loans.map(
      (plan) => step(plan, plan.loanId === 'a' ? 'orbits:u' : 'orbits:v')?.latestStart,
    );
    // Ada packs both on Tuesday afternoon, 16:00 and 17:00; one measures that day, the other on Monday or before noon.
    expect(new Set(latest).size).toBe(2);
    expect(new Set(plans.loans.map((plan) => step(plan, 'pack')?.latestStart))).toEqual(
      new Set([at('2026-03-24T16:00'), at('2026-03-24T17:00')]),
    );
    expect(step(plans.loans[1], 'orbits:v')?.bindingConstraint).toBe(
      'Ada is busy with "Orbits" of Loan A until Tue 3 Mar 14:00',
    );
  });

  it('asks for an extension when the crate comes too late', () => {
    const { loans } = planLoans(house({ loans: [loan({ arrival: at('2026-03-24T10:00') })] }));
    expect(loans[0].state).toBe('late');
    expect(loans[0].askForExtensionTo).toBe(
      DateTime.fromISO(loans[0].returnedAt ?? '', { zone }).toISODate(),
    );
    expect(loans[0].why).toContain('the crate has not arrived before');
    const extended = loan({
      arrival: at('2026-03-24T10:00'),
      returnBy: at(`${loans[0].askForExtensionTo}T18:00`),
    });
    expect(planLoans(house({ loans: [extended] })).loans[0].lateMinutes).toBe(0);
  });

  it('keeps the unit until it is published, and publishes only after the embargo', () => {
    const embargo = at('2026-03-24T12:00');
    const { loans } = planLoans(house({ loans: [loan({ embargo, keepUntilPublished: true })] }));
    expect(step(loans[0], 'publish')?.start).toBe(embargo);
    expect(step(loans[0], 'publish')?.bindingConstraint).toContain('the embargo lifts');
    expect(Date.parse(step(loans[0], 'pack')?.start ?? '')).toBeGreaterThanOrEqual(
      Date.parse(loans[0].publishedAt ?? ''),
    );
    const tooLong = planLoans(
      house({ loans: [loan({ embargo: at('2026-03-26T12:00'), keepUntilPublished: true })] }),
    );
    expect(tooLong.loans[0]).toMatchObject({ state: 'late' });
    expect(tooLong.loans[0].why).toContain('the embargo lifts');
  });

  it('leaves the plan in force alone when nothing has changed', () => {
    const first = planLoans(house());
    expect(planLoans(house({ previous: first.bookings })).changes).toEqual([]);
  });

  it('moves only what a later crate makes impossible', () => {
    const loans = ['a', 'b', 'c'].map((id) =>
      loan({ id, title: `Loan ${id}`, units: [{ id: `u${id}`, name: id, kind: 'standmount' }] }),
    );
    const first = planLoans(house({ loans }));
    const delayed = loans.map((one) => (one.id === 'b' ? { ...one, arrival: at('2026-03-04T10:00') } : one));
    const { changes } = planLoans(house({ loans: delayed, previous: first.bookings }));
    expect(changes.length).toBeGreaterThan(0);
    expect(new Set(changes.map(({ loanId }) => loanId))).toEqual(new Set(['b']));
  });

  it('does not call a loan at risk for what only leads to a pinned booking', () => {
    const free = planLoans(house());
    const publish = free.bookings.find(({ stepId }) => stepId === 'publish');
    const previous = free.bookings.map((one) => ({ ...one, pinned: one.id === publish?.id }));
    const pinned = planLoans(house({ previous }));
    expect(pinned.loans[0]?.state).toBe('on-track');
    expect(pinned.loans[0]?.slackMinutes).toBe(free.loans[0]?.slackMinutes);
    expect(step(pinned.loans[0], 'drafting')?.latestStart).toBeNull();
  });

  it('leaves a pinned booking where it is, and says when it cannot', () => {
    const first = planLoans(house(alone));
    const moved = { start: at('2026-03-09T11:00'), finish: at('2026-03-09T15:00'), pinned: true };
    const previous = first.bookings.map((one) => (one.stepId === 'orbits:u' ? { ...one, ...moved } : one));
    const pinned = planLoans(house({ ...alone, previous }));
    expect(step(pinned.loans[0], 'orbits:u')).toMatchObject({
      start: moved.start,
      bindingConstraint: 'pinned to Mon 9 Mar 11:00',
    });
    expect(step(pinned.loans[0], 'pack')?.start).toBe(at('2026-03-09T15:00'));
    const late = planLoans(house({ ...alone, previous, loans: [loan({ arrival: at('2026-03-10T10:00') })] }));
    expect(late.problems.map(({ code }) => code)).toEqual(['pin-impossible']);
  });

  it('plans a week across the change of the clock, run-in through the night included', () => {
    const { loans, bookings } = planLoans(
      house({
        now: at('2026-03-28T09:00'),
        loans: [loan({ arrival: at('2026-03-28T12:00'), returnBy: null })],
        people: [
          {
            id: 'ada',
            name: 'Ada',
            hours: [6, 7, 1].map((weekday) => ({ weekday, from: '09:00', to: '18:00' })),
          },
        ],
      }),
    );
    const runIn = step(loans[0], 'run-in:u');
    // Unpacked Saturday 13:00; twelve real hours end at 01:00. Sunday's work begins at 09:00 summer time, 07:00 UTC.
    expect([runIn?.start, runIn?.finish]).toEqual(['2026-03-28T12:00:00.000Z', '2026-03-29T00:00:00.000Z']);
    const [, , ...sunday] = bookings.map(({ start }) => start);
    expect(sunday[0]).toBe('2026-03-29T07:00:00.000Z');
  });

  it('lifts a heavy crate only when two people in two zones both work', () => {
    const { loans, problems } = planLoans(
      house({
        people: [
          { id: 'ada', name: 'Ada' },
          { id: 'cy', name: 'Cy', zone: 'America/New_York' },
        ],
        loans: [loan({ units: [{ id: 'u', name: 'U', kind: 'floorstander', massKg: 38 }] })],
      }),
    );
    expect(problems).toEqual([]);
    const [lift] = step(loans[0], 'unpack')?.sessions ?? [];
    expect(lift.resourceIds.toSorted()).toEqual(['ada', 'cy']);
    // New York begins at 09:00, 15:00 in Vienna in the first week of March.
    expect(lift.start).toBe(at('2026-03-03T15:00'));
  });

  it('uses the leap day', () => {
    const now = '2028-02-28T17:00:00Z';
    const arrival = '2028-02-29T08:00:00Z';
    const { loans } = planLoans(
      house({
        ...alone,
        now,
        house: { zone: 'UTC' },
        loans: [loan({ arrival, returnBy: '2028-03-10T18:00:00Z' })],
      }),
    );
    expect(step(loans[0], 'orbits:u')?.start).toBe('2028-02-29T09:00:00.000Z');
  });

  it('works out when a crate must come that has no date yet, without booking anything', () => {
    const { loans, bookings } = planLoans(house({ ...alone, loans: [loan({ arrival: null })] }));
    expect(bookings).toEqual([]);
    expect(loans[0]).toMatchObject({ state: 'unscheduled', mustArriveBy: at('2026-03-24T13:00') });
  });

  it('names what it cannot plan, and plans the rest', () => {
    const closed = { id: 'rig', name: 'the rig', hours: [{ weekday: 1, from: '09:00', to: '11:00' }] };
    const plans = planLoans(
      house({ ...alone, places: [closed], loans: [loan(), loan({ id: 'b', title: 'B', returnBy: 'soon' })] }),
    );
    expect(plans.problems.map(({ code }) => code).toSorted()).toEqual([
      'bad-date',
      'no-stretch-long-enough',
      'no-stretch-long-enough',
    ]);
    expect(step(plans.loans[0], 'orbits:u')).toMatchObject({ state: 'unplanned' });
    expect(plans.bookings.map(({ stepId }) => stepId)).toEqual(['pack', 'pack']);
    expect(() => planLoans(house({ now: 'today' }))).toThrow('now: expected an ISO 8601 instant');
    expect(() => planLoans(house({ house: { zone: 'Nowhere/City' } }))).toThrow('IANA zone');
  });
});

describe('whatIf', () => {
  it('tells when one more loan could be reviewed and returned, without moving the others', () => {
    const input = house({ previous: planLoans(house()).bookings });
    const extra = loan({ id: 'x', title: 'Extra', units: [{ id: 'x', name: 'X', kind: 'centre' }] });
    const answer = whatIf(input, extra);
    expect(answer.changes).toEqual([]);
    expect(answer.madeLater).toEqual([]);
    expect(answer.loan).toMatchObject({ loanId: 'x', state: 'on-track', lateMinutes: 0 });
    expect(Date.parse(answer.loan.reviewedAt ?? '')).toBeGreaterThan(Date.parse(extra.arrival ?? ''));
    expect(whatIf(input, { ...extra, returnBy: at('2026-03-06T18:00') }).loan.state).toBe('late');
  });
});
