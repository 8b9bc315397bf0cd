import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { planLoans, type Booking, type LoanInput, type PlanLoansInput } from './planLoans.js';
import { checkLoanPlans } from './testing/checkLoanPlans.js';

const hour = 3_600_000;
const day = 24 * hour;
const begin = Date.parse('2026-03-16T08:00:00Z');
const kinds = ['standmount', 'floorstander', 'centre', 'subwoofer', 'active', 'panel', 'inwall'];
const iso = (ms: number): string => new Date(ms).toISOString();

const team: PlanLoansInput = {
  now: iso(begin),
  house: {
    zone: 'Europe/Vienna',
    loudHours: [1, 2, 3, 4, 5].map((weekday) => ({ weekday, from: '10:00', to: '16:00' })),
    holidays: ['2026-04-06', '2026-05-01'],
  },
  people: [
    { id: 'ada', name: 'Ada' },
    { id: 'bo', name: 'Bo', away: [{ from: '2026-03-23T00:00:00+01:00', to: '2026-03-28T00:00:00+01:00' }] },
    {
      id: 'cy',
      name: 'Cy',
      zone: 'America/New_York',
      hours: [1, 2, 3, 4].map((weekday) => ({ weekday, from: '08:00', to: '12:00' })),
    },
  ],
  places: [
    { id: 'rig', name: 'the rig' },
    {
      id: 'room',
      name: 'the listening room',
      hours: [1, 2, 3, 4, 5, 6].map((weekday) => ({ weekday, from: '08:00', to: '20:00' })),
    },
  ],
  loans: [],
  attempts: 20,
};

interface State {
  readonly input: PlanLoansInput;
  readonly bookings: readonly Booking[];
  readonly next: number;
}

/** What may happen to a team's week; numbers choose which loan and how much. */
type Event = readonly [what: string, which: number, much: number];

const event: fc.Arbitrary<Event> = fc.tuple(
  fc.constantFrom(
    'agree',
    'agree',
    'delay',
    'extend',
    'shorten',
    'cancel',
    'away',
    'pass',
    'done',
    'remeasure',
    'pin',
    'arrive',
  ),
  fc.nat(99),
  fc.nat(9),
);

function happens({ input, bookings, next }: State, [what, which, much]: Event): State {
  const at = input.loans.length > 0 ? which % input.loans.length : -1;
  const now = Date.parse(input.now);
  const change = (edit: (loan: LoanInput) => LoanInput): State => ({
    input: { ...input, loans: input.loans.map((loan, index) => (index === at ? edit(loan) : loan)) },
    bookings,
    next,
  });
  const shift = (value: string | null, by: number): string | null =>
    value === null ? null : iso(Date.parse(value) + by);
  switch (what) {
    case 'agree':
      return {
        input: { ...input, loans: [...input.loans, newLoan(next, now, which, much)] },
        bookings,
        next: next + 1,
      };
    case 'delay':
      return change((loan) =>
        loan.arrived ? loan : { ...loan, arrival: shift(loan.arrival, (much + 1) * day) },
      );
    case 'extend':
      return change((loan) => ({ ...loan, returnBy: shift(loan.returnBy, (much + 1) * day) }));
    case 'shorten':
      return change((loan) => ({ ...loan, returnBy: shift(loan.returnBy, -much * day) }));
    case 'cancel':
      return { input: { ...input, loans: input.loans.filter((_, index) => index !== at) }, bookings, next };
    case 'arrive':
      return change((loan) => ({ ...loan, arrived: true, arrival: loan.arrival ?? input.now }));
    case 'done':
      return change((loan) => ({
        ...loan,
        progress: [...(loan.progress ?? []), { kind: 'unpack', state: 'done' }],
      }));
    case 'remeasure':
      return change((loan) => ({
        ...loan,
        progress: [{ kind: 'orbits', unitId: 'u', remainingMinutes: 60 + 30 * much }],
      }));
    case 'away': {
      const span = { from: iso(now + much * day), to: iso(now + (much + 2) * day) };
      const people = input.people.map((one, index) =>
        index === which % input.people.length ? { ...one, away: [...(one.away ?? []), span] } : one,
      );
      return { input: { ...input, people }, bookings, next };
    }
    case 'pin':
      return {
        input,
        bookings: bookings.map((one, index) =>
          index === which % bookings.length ? { ...one, pinned: true } : one,
        ),
        next,
      };
    default:
      return { input: { ...input, now: iso(now + (much + 1) * 3 * hour) }, bookings, next };
  }
}

function newLoan(number: number, now: number, which: number, much: number): LoanInput {
  return {
    id: `loan${number}`,
    title: `Loan ${number}`,
    arrival: which % 9 === 0 ? null : iso(now + much * day),
    arrived: which % 4 === 1,
    returnBy: which % 11 === 0 ? null : iso(now + (much + 8 + (which % 20)) * day),
    embargo: which % 5 === 0 ? iso(now + (much + 12) * day) : null,
    freightDaysIn: 2,
    freightDaysOut: 1 + (which % 3),
    keepUntilPublished: which % 3 === 0,
    units: [
      {
        id: 'u',
        name: `Unit ${number}`,
        kind: kinds[which % kinds.length],
        massKg: which % 6 === 0 ? 31 : 12,
      },
    ],
  };
}

/** Pins that the plan says it could not keep. */
function broken(
  problems: readonly { readonly code: string; readonly bookingId?: string | undefined }[],
): Set<string> {
  return new Set(
    problems.flatMap(({ code, bookingId }) => (code === 'pin-impossible' && bookingId ? [bookingId] : [])),
  );
}

function pinsThatMoved(
  before: readonly Booking[],
  plans: ReturnType<typeof planLoans>,
  input: PlanLoansInput,
): string[] {
  const after = new Map(plans.bookings.map((booking) => [booking.id, booking]));
  const named = broken(plans.problems);
  const gone = (booking: Booking): boolean => {
    const loan = input.loans.find(({ id }) => id === booking.loanId);
    const step = plans.loans
      .find(({ loanId }) => loanId === booking.loanId)
      ?.steps.find(({ stepId }) => stepId === booking.stepId);
    return !loan || !step || step.state === 'done' || step.sessions.length < booking.session;
  };
  return before
    .filter((booking) => booking.pinned && !named.has(booking.id) && !gone(booking))
    .filter((booking) => after.get(booking.id)?.start !== booking.start)
    .map(({ id }) => id);
}

describe('the check itself', () => {
  const input = { ...team, loans: [newLoan(1, begin, 13, 2), newLoan(2, begin, 22, 3)] };
  const plans = planLoans(input);
  const changed = (edit: (booking: Booking, index: number) => Booking[]): string[] =>
    checkLoanPlans(input, { ...plans, bookings: plans.bookings.flatMap(edit) });
  const shift = (booking: Booking, by: number): Booking => ({
    ...booking,
    start: iso(Date.parse(booking.start) + by),
    finish: iso(Date.parse(booking.finish) + by),
  });

  it.each([
    ['work at night', (one: Booking) => [one.stepId === 'drafting' ? shift(one, 12 * hour) : one]],
    ['a lost booking', (one: Booking, index: number) => (index === 4 ? [] : [one])],
    [
      'two at once',
      (one: Booking) => [{ ...one, start: plans.bookings[0].start, finish: plans.bookings[0].finish }],
    ],
    ['packing before all is done', (one: Booking) => [one.stepId === 'pack' ? shift(one, -7 * day) : one]],
  ])('sees %s', (_, edit) => {
    expect(changed((one) => [one])).toEqual([]);
    expect(changed(edit).length).toBeGreaterThan(0);
  });
});

describe('planning, whatever happens', () => {
  it(
    'never overlaps, never works outside hours, never loses a step, keeps pins',
    { timeout: 120_000 },
    () => {
      fc.assert(
        fc.property(fc.array(event, { minLength: 3, maxLength: 14 }), (events) => {
          let state: State = { input: team, bookings: [], next: 1 };
          for (const one of events) {
            state = happens(state, one);
            const input = { ...state.input, previous: state.bookings };
            const plans = planLoans(input);
            expect(checkLoanPlans(input, plans)).toEqual([]);
            expect(pinsThatMoved(state.bookings, plans, input)).toEqual([]);
            state = { ...state, bookings: plans.bookings };
          }
        }),
        { numRuns: 40, seed: 20260316 },
      );
    },
  );

  it(
    'comes to the same house when two plan at once and the second plans on what the first did',
    { timeout: 60_000 },
    () => {
      fc.assert(
        fc.property(fc.array(event, { minLength: 2, maxLength: 6 }), event, event, (events, mine, yours) => {
          const start = events.reduce(happens, { input: team, bookings: [], next: 1 } as State);
          const common = planLoans({ ...start.input, previous: start.bookings });
          const first = happens({ ...start, bookings: common.bookings }, mine);
          const firstPlan = planLoans({ ...first.input, previous: first.bookings });
          // The second had seen the common plan; it is refused and plans again on the first one's.
          const second = happens({ ...first, bookings: firstPlan.bookings }, yours);
          const input = { ...second.input, previous: second.bookings };
          expect(checkLoanPlans(input, planLoans(input))).toEqual([]);
        }),
        { numRuns: 25, seed: 7 },
      );
    },
  );

  it('changes nothing when nothing has changed', () => {
    fc.assert(
      fc.property(fc.array(event, { minLength: 2, maxLength: 8 }), (events) => {
        const { input } = events.reduce(happens, { input: team, bookings: [], next: 1 } as State);
        const { bookings } = planLoans(input);
        expect(planLoans({ ...input, previous: bookings }).changes).toEqual([]);
      }),
      { numRuns: 30, seed: 11 },
    );
  });
});
