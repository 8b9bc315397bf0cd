/** The team's loans, calendars, templates and the plan in force, as the planning engine wants them. */
import { DateTime } from 'luxon';
import type { Booking, LoanInput, PlanLoansInput, WorkTemplates } from '../planning/planLoans.js';
import { dayOf, unitStates, type Tx, type UnitState } from '../store/index.js';
import { peopleOf, placeOf, standingBookings, type BookingRow } from './bookingRows.js';
import { houseCalendars, sinceYesterday, type HouseCalendars } from './houseCalendars.js';
import { loanProgress, stepIdOf, stepsWithEvidence } from './loanProgress.js';
import { begunLoan, SLOT_MS } from './loanTemplates.js';
import { stepsOf } from '../planning/loan/steps.js';
import { stepStanding, type StepFacts, type StepStanding } from './stepStanding.js';
import { workTemplates } from './workTemplates.js';

/** How hard a plan is searched; equal data gives an equal plan. */
const ATTEMPTS = 60;

export type PlannedLoanRow = Awaited<ReturnType<typeof openLoans>>[number];
export interface PlanInput {
  readonly now: Date;
  readonly zone: string;
  readonly calendars: HouseCalendars;
  readonly templates: WorkTemplates;
  readonly loans: readonly PlannedLoanRow[];
  readonly states: ReadonlyMap<string, UnitState>;
  /** Every booking that stands: of open loans, and what closed ones still hold of the future. */
  readonly rows: readonly BookingRow[];
  /** By `LOAN/STEP`. */
  readonly standings: ReadonlyMap<string, StepStanding>;
  readonly engine: PlanLoansInput;
}

export async function planInput(tx: Tx, now: Date): Promise<PlanInput> {
  const [calendars, templates, loans, states, rows] = await Promise.all([
    houseCalendars(tx, sinceYesterday(now)),
    workTemplates(tx),
    openLoans(tx),
    unitStates(tx, 'of-open-loans'),
    standingBookings(tx, now),
  ]);
  const { zone } = calendars;
  const plain = loans.map((loan) => loanInput(loan, states, zone));
  const standings = standingsOf({ loans, inputs: plain, states, templates, rows, now });
  // Whole slots: within one of them equal data gives an equal plan.
  const planNow = new Date(Math.ceil(now.getTime() / SLOT_MS) * SLOT_MS);
  const begun = plain.map((loan) =>
    begunLoan(loan, {
      planNow,
      templates,
      midnight: DateTime.fromJSDate(now, { zone }).plus({ days: 1 }).startOf('day').toJSDate(),
      standing: (stepId) => standings.get(`${loan.id}/${stepId}`),
    }),
  );
  const engine: PlanLoansInput = {
    now: planNow.toISOString(),
    house: calendars.house,
    people: busyPeople(calendars, standings, now),
    places: calendars.places,
    loans: plain.map((loan, at) => begun[at]?.loan ?? loan),
    templates: Object.assign({}, templates, ...begun.map((one) => one?.templates ?? {})) as WorkTemplates,
    previous: [...begun.flatMap((one) => one?.holds ?? []), ...inForce(standings, planNow)],
    attempts: ATTEMPTS,
    atRiskWorkingDays: calendars.atRiskWorkingDays,
  };
  return { now, zone, calendars, templates, loans, states, rows, standings, engine };
}

const openLoans = (tx: Tx) =>
  tx.loan.findMany({
    where: { stage: { not: 'closed' } },
    include: {
      units: { orderBy: { createdAt: 'asc' } },
      stepRecords: true,
      maker: { select: { name: true } },
    },
    orderBy: { id: 'asc' },
  });

function loanInput(loan: PlannedLoanRow, states: ReadonlyMap<string, UnitState>, zone: string): LoanInput {
  const arrivalDay = dayOf(loan.arrivedOn) ?? dayOf(loan.arrivalTo) ?? dayOf(loan.arrivalFrom);
  const returnDay = dayOf(loan.returnBy);
  return {
    id: loan.id,
    title: loan.title,
    arrival: arrivalDay ? atLocal(arrivalDay, '12:00', zone) : null,
    arrived: loan.arrivedOn !== null,
    returnBy: returnDay ? atLocal(returnDay, '18:00', zone) : null,
    embargo: loan.embargoUntil?.toISOString() ?? null,
    freightDaysIn: loan.freightDays,
    freightDaysOut: loan.freightDays,
    keepUntilPublished: loan.keepUntilPublished,
    units: loan.units.map(({ id, name, kind, massKg }) => ({ id, name, kind, massKg })),
    progress: loanProgress(loan, states),
    sentBack: loan.deliveredOn !== null || (loan.stage === 'returning' && Boolean(loan.returnTracking)),
  };
}

interface StandingInput {
  readonly loans: readonly PlannedLoanRow[];
  readonly inputs: readonly LoanInput[];
  readonly states: ReadonlyMap<string, UnitState>;
  readonly templates: WorkTemplates;
  readonly rows: readonly BookingRow[];
  readonly now: Date;
}

function standingsOf({
  loans,
  inputs,
  states,
  templates,
  rows,
  now,
}: StandingInput): Map<string, StepStanding> {
  const bySteps = new Map<string, BookingRow[]>();
  for (const row of rows) {
    const key = `${row.loanId}/${row.stepId}`;
    bySteps.set(key, [...(bySteps.get(key) ?? []), row]);
  }
  const facts = new Map(loans.map((loan, at) => [loan.id, loanFacts(loan, inputs[at], states, templates)]));
  return new Map(
    [...bySteps].map(([key, own]) => {
      const slash = key.indexOf('/');
      const of = facts.get(key.slice(0, slash));
      const step = of?.(key.slice(slash + 1)) ?? { arrived: true, over: true, waits: false, evidence: false };
      return [key, stepStanding(own, { now, ...step })];
    }),
  );
}

/** What is known of each step of a loan, besides its bookings. */
function loanFacts(
  loan: PlannedLoanRow,
  input: LoanInput | undefined,
  states: ReadonlyMap<string, UnitState>,
  templates: WorkTemplates,
): (stepId: string) => Omit<StepFacts, 'now'> {
  const steps = input ? stepsOf(input, templates) : [];
  const over = new Set(
    (input?.progress ?? [])
      .filter(({ state }) => state === 'done' || state === 'skipped')
      .map(({ kind, unitId }) => stepIdOf(kind, unitId)),
  );
  const evidence = stepsWithEvidence(loan, states);
  const sent = input?.sentBack === true;
  return (stepId) => ({
    arrived: sent || input?.arrived === true,
    over: sent || over.has(stepId),
    waits: steps.find((step) => step.stepId === stepId)?.after.some((before) => !over.has(before)) ?? false,
    evidence: evidence.has(stepId),
  });
}

/** Whoever is in the middle of a session is not free before its end. */
function busyPeople(
  { people }: HouseCalendars,
  standings: ReadonlyMap<string, StepStanding>,
  now: Date,
): PlanLoansInput['people'] {
  const underWay = [...standings.values()].flatMap((standing) => standing.underWay);
  return people.map((person) => {
    const own = underWay.filter((row) => peopleOf(row).includes(person.id));
    const busy = own.map(({ start, finish }) => ({
      from: (start < now ? start : now).toISOString(),
      to: finish.toISOString(),
    }));
    return { ...person, away: [...(person.away ?? []), ...busy] };
  });
}

/** The plan in force, as far as it can still stand: what should have begun by now cannot. */
function inForce(standings: ReadonlyMap<string, StepStanding>, planNow: Date): Booking[] {
  return [...standings].flatMap(([key, { movable }]) =>
    movable.flatMap((row, at) => (row.start < planNow ? [] : [engineBooking(key, row, at)])),
  );
}

/** A booking numbered as the engine will number it. */
export const engineBooking = (key: string, row: BookingRow, at: number): Booking => ({
  ...asBooking(row),
  id: `${key}/${at + 1}`,
  session: at + 1,
});

function asBooking(row: BookingRow): Booking {
  const place = placeOf(row);
  return {
    id: `${row.loanId}/${row.stepId}/${row.session}`,
    loanId: row.loanId,
    stepId: row.stepId,
    session: row.session,
    start: row.start.toISOString(),
    finish: row.finish.toISOString(),
    resourceIds: [...peopleOf(row), ...(place === null ? [] : [place])],
    pinned: row.pinned,
  };
}

export function atLocal(day: string, time: string, zone: string): string {
  return DateTime.fromISO(`${day}T${time}`, { zone }).toUTC().toISO() ?? `${day}T${time}:00.000Z`;
}
