/**
 * What must hold whatever happens: days pass, crates come late or early, loans are extended and closed, people are
 * away, sessions are missed, and two people plan at the same time. On a real database, with the clock in our hand.
 */
import fc from 'fast-check';
import { DateTime } from 'luxon';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import {
  acceptProposal,
  loadBookings,
  makeProposal,
  peopleOf,
  ProposalOutdated,
  teamPlan,
  type BookingRow,
} from '../../libs/plan-keeping/index.js';
import { addLoan, openPlanWorld, toDate, type PlanWorld } from './planWorld.js';

const ZONE = 'Europe/Berlin';
const team = [
  { name: 'Ida', timeZone: ZONE },
  { name: 'Bo', timeZone: ZONE },
  // Works on her own clock, six hours behind.
  { name: 'Cai', timeZone: 'America/New_York' },
];
const Hour = 3600_000;

const met = { underWay: 0, missed: 0, outdated: 0 };
let world: PlanWorld;
beforeAll(async () => {
  world = await openPlanWorld();
});
afterAll(() => world.close());

type Happening =
  | { readonly what: 'loan'; readonly arrivesIn: number; readonly dueIn: number; readonly kind: number }
  | {
      readonly what: 'late' | 'arrives' | 'extended' | 'closed';
      readonly which: number;
      readonly days: number;
    }
  | { readonly what: 'away'; readonly which: number; readonly inHours: number; readonly hours: number }
  | { readonly what: 'missed' | 'done'; readonly which: number };

const days = fc.integer({ min: 1, max: 9 });
const which = fc.nat({ max: 20 });
const happening: fc.Arbitrary<Happening> = fc.oneof(
  {
    weight: 3,
    arbitrary: fc.record({
      what: fc.constant('loan' as const),
      arrivesIn: days,
      dueIn: fc.integer({ min: 10, max: 40 }),
      kind: fc.nat({ max: 3 }),
    }),
  },
  {
    weight: 4,
    arbitrary: fc.record({
      what: fc.constantFrom('late', 'arrives', 'arrives', 'extended', 'closed' as const),
      which,
      days,
    }),
  },
  {
    weight: 2,
    arbitrary: fc.record({
      what: fc.constant('away' as const),
      which,
      inHours: fc.integer({ min: 1, max: 90 }),
      hours: fc.integer({ min: 1, max: 60 }),
    }),
  },
  { weight: 3, arbitrary: fc.record({ what: fc.constantFrom('missed', 'done', 'done' as const), which }) },
);
const stretch = fc.record({ happening, hours: fc.integer({ min: 1, max: 50 }) });

describe('plans on a real database, whatever happens', () => {
  it.each([
    // The last Sunday of March has 23 hours in Berlin; New York changed its clocks two weeks earlier.
    ['a clock change', '2026-03-23T08:10:00+01:00', 11],
    ['a leap day', '2028-02-24T07:50:00+01:00', 12],
  ])(
    'over %s: nothing overlaps, nobody works outside their hours, no task is lost',
    async (_name, begin, seed) => {
      await fc.assert(
        fc.asyncProperty(fc.array(stretch, { minLength: 8, maxLength: 12 }), async (stretches) => {
          await world.moveIn(ZONE, team);
          let now = new Date(begin);
          const today = DateTime.fromJSDate(now, { zone: ZONE });
          for (const at of [2, 4]) {
            const arrivalTo = today.plus({ days: at }).toFormat('yyyy-MM-dd');
            await addLoan(world, {
              title: `First ${at}`,
              arrivalTo,
              returnBy: today.plus({ days: 30 }).toFormat('yyyy-MM-dd'),
            });
          }
          for (const { happening: one, hours } of stretches) {
            now = new Date(now.getTime() + hours * Hour);
            await happen(one, now);
            await changed();
            const fixed = await begunRows(now);
            met.underWay += fixed.filter(({ finish }) => finish > now).length;
            met.missed += fixed.filter(({ outcome }) => outcome === 'missed').length;
            await planAtOnce(now);
            await expectSound(now, fixed);
          }
        }),
        { numRuns: 4, seed, endOnFailure: true },
      );
      // A walk that never meets these shows nothing.
      expect(met.underWay).toBeGreaterThan(0);
      expect(met.missed).toBeGreaterThan(0);
      expect(met.outdated).toBeGreaterThan(0);
    },
  );
});

/** The plan is kept until something happens: here it happens past the server. */
const changed = () => world.database.pool.query(`update "FeedCounter" set "number" = "number" + 1`);

async function happen(one: Happening, now: Date): Promise<void> {
  const { prisma } = world.database;
  const dayFrom = (count: number) =>
    DateTime.fromJSDate(now, { zone: ZONE }).plus({ days: count }).toFormat('yyyy-MM-dd');
  if (one.what === 'loan') {
    const kind = (['standmount', 'floorstander', 'subwoofer', 'active'] as const)[one.kind] ?? 'standmount';
    await addLoan(world, {
      title: `Loan ${now.getTime() % 997}`,
      arrivalTo: dayFrom(one.arrivesIn),
      returnBy: dayFrom(one.dueIn),
      kind,
    });
    return;
  }
  if (one.what === 'away') {
    const people = await prisma.account.findMany({ orderBy: { id: 'asc' } });
    const start = new Date(now.getTime() + one.inHours * Hour);
    const accountId = people[one.which % people.length]?.id ?? '';
    await prisma.absence.create({
      data: { accountId, start, finish: new Date(start.getTime() + one.hours * Hour) },
    });
    return;
  }
  if (!('days' in one)) {
    const begun = await loadBookings(prisma, {
      cancelledAt: null,
      start: { lte: now },
      loan: { stage: 'arrived' },
    });
    const row = begun[one.which % Math.max(1, begun.length)];
    if (!row) return;
    if (one.what === 'missed')
      await prisma.booking.update({ where: { id: row.id }, data: { outcome: 'missed' } });
    else await markDone(row, now);
    return;
  }
  const open = await prisma.loan.findMany({ where: { stage: { not: 'closed' } }, orderBy: { id: 'asc' } });
  const loan = open[one.which % Math.max(1, open.length)];
  if (!loan) return;
  const later = (date: Date | null) => new Date((date ?? now).getTime() + one.days * 24 * Hour);
  const data = {
    late: { arrivalTo: loan.arrivedOn === null ? later(loan.arrivalTo) : loan.arrivalTo },
    arrives: loan.arrivedOn === null ? { arrivedOn: toDate(dayFrom(0)), stage: 'arrived' as const } : {},
    extended: { returnBy: later(loan.returnBy) },
    closed: { stage: 'closed' as const },
  }[one.what];
  await prisma.loan.update({ where: { id: loan.id }, data });
}

async function markDone(row: BookingRow, now: Date): Promise<void> {
  const { loanId, stepId, kind, unitId } = row;
  await world.database.prisma.stepRecord.upsert({
    where: { loanId_stepId: { loanId, stepId } },
    create: { loanId, stepId, kind, unitId, unitKind: 'standmount', state: 'done', finishedAt: now },
    update: { state: 'done', finishedAt: now },
  });
}

/** Two people propose and accept at once; each time one of them, or both one after the other, must get through. */
async function planAtOnce(now: Date): Promise<void> {
  const { database } = world;
  const plan = async (name: string): Promise<'accepted' | 'outdated'> => {
    const by = { id: null, name };
    const proposal = await makeProposal(database, by, now);
    try {
      await acceptProposal(database, by, proposal.id, proposal.version, now);
      return 'accepted';
    } catch (error) {
      if (!(error instanceof ProposalOutdated)) throw error;
      return 'outdated';
    }
  };
  const outcomes = await Promise.all([plan('Ida'), plan('Bo')]);
  expect(outcomes).toContain('accepted');
  met.outdated += outcomes.filter((outcome) => outcome === 'outdated').length;
}

const begunRows = (now: Date) =>
  loadBookings(world.database.prisma, { cancelledAt: null, start: { lte: now } });

async function expectSound(now: Date, before: readonly BookingRow[]): Promise<void> {
  const { database } = world;
  const rows = await loadBookings(database.prisma, { cancelledAt: null });
  const state = await teamPlan(database, now);
  expect(state.house.changes.map(({ change, row, next }) => `${change} ${(next ?? row)?.label}`)).toEqual([]);
  expect(overlaps(rows)).toEqual([]);
  expect(await outsideHours(rows, now)).toEqual([]);
  expect(await lostSteps(rows, now)).toEqual([]);
  // What has begun stays where it was, unless it did not take place.
  const is = new Map(rows.map((row) => [row.id, row]));
  const shifted = before.filter((was) => {
    const row = is.get(was.id);
    return row && row.start <= now && (+row.start !== +was.start || +row.finish !== +was.finish);
  });
  expect(shifted).toEqual([]);
}

function overlaps(rows: readonly BookingRow[]): string[] {
  const byResource = new Map<string, BookingRow[]>();
  for (const row of rows)
    for (const { resource } of row.takes)
      byResource.set(resource, [...(byResource.get(resource) ?? []), row]);
  return [...byResource].flatMap(([resource, own]) =>
    own.flatMap((row, at) => {
      const next = own[at + 1];
      return next && next.start < row.finish ? [`${resource}: ${row.label} and ${next.label}`] : [];
    }),
  );
}

/** By the calendar alone: Monday to Friday, nine to six on the person's own clock, and not while away. */
async function outsideHours(rows: readonly BookingRow[], now: Date): Promise<string[]> {
  const { prisma } = world.database;
  const [people, absences] = await Promise.all([prisma.account.findMany(), prisma.absence.findMany()]);
  return rows
    .filter(({ start }) => start > now)
    .flatMap((row) =>
      peopleOf(row).flatMap((id) => {
        const zone = people.find((person) => person.id === id)?.timeZone ?? 'utc';
        const from = DateTime.fromJSDate(row.start, { zone });
        const to = DateTime.fromJSDate(row.finish, { zone });
        const working =
          from.weekday <= 5 &&
          from.hasSame(to, 'day') &&
          from.hour >= 9 &&
          to <= from.set({ hour: 18, minute: 0 });
        const away = absences.some(
          ({ accountId, start, finish }) => accountId === id && start < row.finish && finish > row.start,
        );
        return working && !away ? [] : [`${row.label} at ${from.toISO()}${away ? ' while away' : ''}`];
      }),
    );
}

/** Every open loan’s steps that are not done have a session still to come, or under way. */
async function lostSteps(rows: readonly BookingRow[], now: Date): Promise<string[]> {
  const { prisma } = world.database;
  const loans = await prisma.loan.findMany({
    where: { stage: { not: 'closed' } },
    include: { stepRecords: true, units: { include: { plan: true } } },
  });
  const kinds = [
    'unpack',
    'run-in',
    'impedance',
    'orbits',
    'distortion',
    'listening',
    'drafting',
    'film',
    'edit',
    'publish',
    'pack',
  ];
  return loans.flatMap((loan) => {
    const done = new Set(loan.stepRecords.filter(({ state }) => state === 'done').map(({ kind }) => kind));
    const asked = loan.units.some(({ plan }) => plan.some(({ code }) => code === 'impedance'));
    const impedance = asked && loan.units[0]?.kind !== 'active';
    return kinds
      .filter((kind) => !done.has(kind) && (impedance || kind !== 'impedance'))
      .filter((kind) => !rows.some((row) => row.loanId === loan.id && row.kind === kind && row.finish > now))
      .map((kind) => `${kind} of ${loan.title}`);
  });
}
