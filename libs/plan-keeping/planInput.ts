/** The team's loans as the planning engine wants them. */
import type { UnitState, Database } from '../store/index.js';
import { dayOf, unitStates } from '../store/index.js';
import type { LoanInput, PersonInput, PlanLoansInput, StepProgress } from '../planning/planLoans.js';
import { DateTime } from 'luxon';

export const RIG = { id: 'rig', name: 'the rig' } as const;
export const ROOM = { id: 'room', name: 'the listening room' } as const;

/** How hard a dashboard's plan is searched; equal data gives an equal plan. */
const ATTEMPTS = 60;

/** What each step of the plan answers to in the measurement plan. */
const stepOfDataSet = (code: string): string =>
  code === 'impedance'
    ? 'impedance'
    : code.endsWith('-orbit') || code.startsWith('front-') || code === 'on-axis'
      ? 'orbits'
      : 'distortion';

export async function planInput(database: Database, now: Date): Promise<PlanLoansInput> {
  const { prisma } = database;
  const installation = await prisma.installation.findUnique({ where: { id: 1 } });
  const zone = installation?.timeZone ?? 'UTC';
  const people = await prisma.account.findMany({
    where: { role: { not: 'viewer' }, disabledAt: null },
    orderBy: { createdAt: 'asc' },
  });
  const loans = await prisma.loan.findMany({
    where: { stage: { not: 'closed' } },
    include: { units: true, verdict: true, accessories: true },
    orderBy: { id: 'asc' },
  });
  const states = await unitStates(prisma, { loan: { stage: { not: 'closed' } } });
  return {
    now: now.toISOString(),
    house: { zone },
    people: people.map(({ id, name, timeZone }): PersonInput => ({ id, name, zone: timeZone })),
    places: [RIG, ROOM],
    loans: loans.map((loan) => loanInput(loan, states, zone)),
    attempts: ATTEMPTS,
  };
}

type LoanRow = Awaited<ReturnType<typeof loadedLoan>>;
// Only its type is used: the shape of a loan row with what the plan needs of it.
const loadedLoan = (database: Database, id: string) =>
  database.prisma.loan.findUniqueOrThrow({
    where: { id },
    include: { units: true, verdict: true, accessories: true },
  });

function loanInput(loan: LoanRow, states: ReadonlyMap<string, UnitState>, zone: string): LoanInput {
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
    progress: [
      ...loanProgress(loan, states),
      ...loan.units.flatMap((unit) => unitProgress(states.get(unit.id))),
    ],
    sentBack: loan.deliveredOn !== null || (loan.stage === 'returning' && Boolean(loan.returnTracking)),
  };
}

const drafted = ['published', 'returning', 'closed'];
const unpacked = ['measuring', 'listening', 'drafting', ...drafted];

function loanProgress(loan: LoanRow, states: ReadonlyMap<string, UnitState>): StepProgress[] {
  const done: StepProgress[] = [];
  const finish = (...kinds: string[]) =>
    done.push(...kinds.map((kind) => ({ kind, state: 'done' as const })));
  if (unpacked.includes(loan.stage)) finish('unpack');
  const heard = loan.units.filter((unit) => (states.get(unit.id)?.facts.sealedSessions ?? 0) > 0);
  if (loan.units.length > 0 && heard.length === loan.units.length) finish('listening');
  if (loan.publishedAt !== null || loan.stage === 'published') finish('drafting', 'film', 'edit', 'publish');
  else if (loan.stage === 'returning') finish('drafting');
  if (loan.stage === 'returning' && loan.returnTracking) finish('pack');
  return done;
}

function unitProgress(state: UnitState | undefined): StepProgress[] {
  if (!state) return [];
  const unitId = state.facts.id;
  const done: StepProgress[] = [];
  const finish = (kind: string) => done.push({ kind, unitId, state: 'done' });
  for (const step of ['impedance', 'orbits', 'distortion']) {
    const asked = state.plan.filter(({ code }) => stepOfDataSet(code) === step);
    const open = asked.filter((planned) => planned.state !== 'complete' && planned.state !== 'waived');
    if (asked.length === 0) done.push({ kind: step, unitId, state: 'skipped' });
    else if (open.length === 0) finish(step);
  }
  // Once anything has been measured, the unit has been run in.
  if (state.plan.some((planned) => planned.state === 'complete')) finish('run-in');
  return done;
}

export function atLocal(day: string, time: string, zone: string): string {
  return DateTime.fromISO(`${day}T${time}`, { zone }).toUTC().toISO() ?? `${day}T${time}:00.000Z`;
}
