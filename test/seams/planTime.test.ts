/** What becomes of the plan as time goes on while nobody looks: on a real database, with the clock in our hand. */
import { DateTime } from 'luxon';
import { afterAll, beforeAll, beforeEach, describe, expect, it } from 'vitest';
import {
  acceptProposal,
  loadBookings,
  makeProposal,
  peopleOf,
  recordDoneSteps,
  teamPlan,
  watchDeadlines,
  type BookingRow,
} from '../../libs/plan-keeping/index.js';
import { applyBookings } from '../../libs/plan-keeping/applyPlan.js';
import { change, DoubleBooked, json, theHouse } from '../../libs/store/index.js';
import { acceptDemoPlan } from '../../apps/worker/demo/demoPlan.js';
import { demoScenario } from '../../seed/scenario.js';
import { addLoan, openPlanWorld, toDate, type PlanWorld } from './planWorld.js';

const ZONE = 'Europe/Berlin';
const at = (text: string): Date => DateTime.fromISO(text, { zone: ZONE }).toJSDate();

describe('the plan as time goes on', () => {
  let world: PlanWorld;
  let loanId: string;

  beforeAll(async () => {
    world = await openPlanWorld();
  });
  afterAll(() => world.close());
  // A Monday; the crate came the Friday before.
  beforeEach(async () => {
    await world.moveIn(ZONE, [{ name: 'Ida', timeZone: ZONE }]);
    loanId = await addLoan(world, {
      title: 'Heron 3',
      arrivalTo: '2026-03-06',
      returnBy: '2026-04-20',
      arrived: true,
    });
  });

  const accept = async (now: Date): Promise<string[]> => {
    await touch();
    const proposal = await makeProposal(world.database, { id: null, name: 'Ida' }, now);
    await acceptProposal(world.database, { id: null, name: 'Ida' }, proposal.id, proposal.version, now);
    return proposal.changes.map(({ sentence }) => sentence);
  };
  const touch = () => world.database.pool.query(`update "FeedCounter" set "number" = "number" + 1`);
  it('is not worked out again for what does not concern it', async () => {
    const now = at('2026-03-09T09:00');
    const before = await teamPlan(world.database, now);
    const loan = { where: { id: loanId } };
    await world.database.prisma.loan.update({ ...loan, data: { notes: 'The courier rings twice.' } });
    await touch();
    const after = await teamPlan(world.database, now);
    expect(after).not.toBe(before);
    expect(after.house).toBe(before.house);
    await world.database.prisma.loan.update({ ...loan, data: { returnBy: toDate('2026-04-13') } });
    await touch();
    expect((await teamPlan(world.database, now)).house).not.toBe(before.house);
  });

  const look = async (now: Date) => {
    await touch();
    const team = await teamPlan(world.database, now);
    const { changes } = team.house;
    return {
      causes: team.causes.map(({ code }) => code),
      changes: changes.map(
        ({ change, row, next }) =>
          `${change} ${(next ?? row)?.stepId.split(':')[0]} ${(next ?? row)?.session}`,
      ),
      steps: team.plans.get(loanId)?.steps ?? [],
    };
  };
  const bookings = (kind: string): Promise<BookingRow[]> =>
    loadBookings(world.database.prisma, { loanId, kind, cancelledAt: null });
  const done = async (...kinds: string[]) => {
    for (const kind of kinds) {
      const unit = await world.database.prisma.unit.findFirstOrThrow({ where: { loanId } });
      const unitId = ['run-in', 'impedance', 'orbits', 'distortion'].includes(kind) ? unit.id : null;
      const stepId = unitId ? `${kind}:${unitId}` : kind;
      await world.database.prisma.stepRecord.create({
        data: { loanId, stepId, kind, unitId, unitKind: 'standmount', state: 'done' },
      });
    }
  };

  it('leaves a session that is under way alone, and plans nothing else for its people, place and unit', async () => {
    await accept(at('2026-03-09T08:00'));
    const [unpack] = (await bookings('unpack')) as [BookingRow];
    expect(unpack.start).toEqual(at('2026-03-09T09:00'));
    for (const minute of ['09:05', '09:20', '09:50']) {
      const now = await look(at(`2026-03-09T${minute}`));
      expect(now.changes).toEqual([]);
      expect(now.steps.find(({ code }) => code === 'unpack')).toMatchObject({
        state: 'running',
        done: false,
        finish: unpack.finish.toISOString(),
      });
    }
    // Another loan comes in the middle of it: Ida is not free before ten.
    const second = await addLoan(world, {
      title: 'Reed 5',
      arrivalTo: '2026-03-06',
      returnBy: '2026-03-20',
      arrived: true,
    });
    await accept(at('2026-03-09T09:20'));
    const theirs = await loadBookings(world.database.prisma, { loanId: second, cancelledAt: null });
    expect(Math.min(...theirs.map(({ start }) => start.getTime()))).toBeGreaterThanOrEqual(
      at('2026-03-09T10:00').getTime(),
    );
  });

  it('plans a step again whose last session is over and that is not done, and says so', async () => {
    await accept(at('2026-03-09T08:00'));
    const now = at('2026-03-09T10:30');
    const seen = await look(now);
    expect(seen.causes).toEqual(['step-missed']);
    expect(seen.changes).toContain('moved unpack 1');
    await accept(now);
    const [again] = (await bookings('unpack')) as [BookingRow];
    expect(again.start).toEqual(at('2026-03-09T10:30'));
    expect(await look(now)).toMatchObject({ changes: [], causes: [] });
  });

  it('counts a session that is over as worked where others follow, unless somebody says it was not', async () => {
    await done('unpack', 'run-in', 'impedance', 'orbits', 'distortion', 'film');
    await accept(at('2026-03-09T08:00'));
    const [first, second] = (await bookings('listening')) as [BookingRow, BookingRow];
    expect([first.session, second.session]).toEqual([1, 2]);
    // Ears need the night: the second is for another day.
    expect(
      DateTime.fromJSDate(second.start, { zone: ZONE }).hasSame(
        DateTime.fromJSDate(first.start, { zone: ZONE }),
        'day',
      ),
    ).toBe(false);
    const between = new Date(first.finish.getTime() + 5 * 60_000);
    expect((await look(between)).changes.filter((one) => one.includes('listening'))).toEqual([]);

    await world.database.prisma.booking.update({ where: { id: first.id }, data: { outcome: 'missed' } });
    const missed = await look(between);
    expect(missed.changes).toContain('moved listening 1');
    expect(missed.causes).toContain('step-missed');
    await accept(between);
    const [one, two] = (await bookings('listening')) as [BookingRow, BookingRow];
    expect(one.start.getTime()).toBeGreaterThan(between.getTime());
    expect(one.outcome).toBeNull();
    expect(
      DateTime.fromJSDate(two.start, { zone: ZONE }).hasSame(
        DateTime.fromJSDate(one.start, { zone: ZONE }),
        'day',
      ),
    ).toBe(false);
  });

  it('adds a session, under another number, where a set must be measured again', async () => {
    await done('unpack', 'run-in');
    await accept(at('2026-03-09T08:00'));
    const [session] = (await bookings('impedance')) as [BookingRow];
    const after = new Date(session.finish.getTime() + 60_000);
    const set = await measure([]);
    const good = await look(after);
    expect(good.steps.find(({ code }) => code === 'impedance')?.done).toBe(true);
    expect(good.changes.filter((one) => one.includes('impedance'))).toEqual([]);
    expect(await recordDoneSteps(world.database, await teamPlan(world.database, after), after)).toBe(1);
    expect(await recordDoneSteps(world.database, await teamPlan(world.database, after), after)).toBe(0);
    const record = await world.database.prisma.stepRecord.findFirstOrThrow({ where: { kind: 'impedance' } });
    expect(record).toMatchObject({ derived: true, state: 'done', minutes: 30 });
    await accept(after);

    await world.database.prisma.measurementSet.update({
      where: { id: set },
      data: { setAsideWhy: 'the grille was on' },
    });
    await measure(['impedance']);
    const faulty = await look(after);
    expect(faulty.causes).toContain('measure-again');
    expect(faulty.changes).toContain('added impedance 2');
    await accept(after);
    const [kept, added] = (await bookings('impedance')) as [BookingRow, BookingRow];
    expect([kept.start, kept.finish]).toEqual([session.start, session.finish]);
    expect(added.start.getTime()).toBeGreaterThan(after.getTime());
    // The rest of the measuring waits for nothing it does not need, and nothing overlaps.
    expect((await look(after)).changes).toEqual([]);
  });

  it('keeps what is pinned through a late crate, and names the pin that can no longer hold', async () => {
    await world.database.prisma.loan.update({
      where: { id: loanId },
      data: { arrivedOn: null, stage: 'agreed', arrivalTo: toDate('2026-03-10') },
    });
    await accept(at('2026-03-09T08:00'));
    const [drafting] = (await bookings('drafting')) as [BookingRow];
    const [unpack] = (await bookings('unpack')) as [BookingRow];
    const late = DateTime.fromJSDate(drafting.start).plus({ weeks: 2 }).toJSDate();
    const by = { id: null, name: 'Ida' };
    await touch();
    const proposal = await makeProposal(world.database, by, at('2026-03-09T08:00'), [
      { bookingId: drafting.id, start: late },
    ]);
    await acceptProposal(world.database, by, proposal.id, proposal.version, at('2026-03-09T08:00'));
    await world.database.prisma.booking.update({ where: { id: unpack.id }, data: { pinned: true } });
    await world.database.prisma.loan.update({
      where: { id: loanId },
      data: { arrivalTo: toDate('2026-03-12') },
    });
    await accept(at('2026-03-09T08:15'));
    const [still] = (await bookings('drafting')) as [BookingRow];
    expect(still).toMatchObject({ start: late, pinned: true });
    const [moved] = (await bookings('unpack')) as [BookingRow];
    expect(moved.start.getTime()).toBeGreaterThanOrEqual(at('2026-03-12T12:00').getTime());
    expect(moved.pinned).toBe(false);
  });

  it('tells deadlines at seven, two and no days and overdue, each once, on the clock of the house', async () => {
    await world.database.prisma.loan.update({
      where: { id: loanId },
      data: { returnBy: toDate('2026-04-10') },
    });
    const told = async (now: string): Promise<string[]> => {
      await touch();
      const before = await world.database.prisma.deadlineNotice.count();
      // Two workers look at once.
      await Promise.all([1, 2].map(() => watchDeadlines(world.database, at(now), { emailWorks: false })));
      const rows = await world.database.prisma.deadlineNotice.findMany({ orderBy: { at: 'asc' } });
      return rows
        .slice(before)
        .map(({ kind }) => kind)
        .filter((kind) => kind !== 'late' && kind !== 'at-risk');
    };
    expect(await told('2026-04-02T23:59')).toEqual([]);
    expect(await told('2026-04-03T00:01')).toEqual(['due-in-7-days']);
    expect(await told('2026-04-07T12:00')).toEqual([]);
    expect(await told('2026-04-08T00:01')).toEqual(['due-in-2-days']);
    expect(await told('2026-04-10T00:01')).toEqual(['due-today']);
    expect(await told('2026-04-11T00:01')).toEqual(['overdue']);
    expect(await told('2026-04-12T00:01')).toEqual([]);
    await world.database.prisma.loan.update({
      where: { id: loanId },
      data: { embargoUntil: at('2026-04-12T09:00') },
    });
    expect(await told('2026-04-12T08:59')).toEqual([]);
    expect(await told('2026-04-12T09:00')).toEqual(['embargo-lifted']);
    expect(await told('2026-04-12T10:00')).toEqual([]);
  });

  it('refuses in one piece what would take somebody twice, whoever asks for it', async () => {
    const { prisma } = world.database;
    const now = at('2026-03-09T08:00');
    await accept(now);
    const [film] = (await bookings('film')) as [BookingRow];
    const [publish] = (await bookings('publish')) as [BookingRow];
    const same = {
      ...publish,
      start: film.start,
      finish: film.finish,
      people: peopleOf(film),
      place: null,
      units: [],
    };
    const writes = [{ id: publish.id, next: same }];
    await expect(
      change(world.database, theHouse, (made) => applyBookings(made, writes, now)),
    ).rejects.toBeInstanceOf(DoubleBooked);
    expect((await bookings('publish'))[0]).toEqual(publish);
    // Two that change places in one transaction do not meet.
    const [first, second] = (await bookings('listening')) as [BookingRow, BookingRow];
    const swapped = [first, second].map((row, index) => {
      const other = index === 0 ? second : first;
      const units = row.takes.flatMap(({ resource }) =>
        resource.startsWith('unit:') ? [resource.slice(5)] : [],
      );
      const next = {
        ...row,
        start: other.start,
        finish: other.finish,
        people: peopleOf(row),
        place: 'room',
        units,
      };
      return { id: row.id, next };
    });
    await change(world.database, theHouse, (made) => applyBookings(made, swapped, now));
    expect((await prisma.booking.findUniqueOrThrow({ where: { id: first.id } })).start).toEqual(second.start);
  });

  it('gives the invented team a plan in force once its loans are in and its sets are analysed', async () => {
    const { prisma } = world.database;
    await prisma.installation.update({ where: { id: 1 }, data: { invented: true } });
    const { loans } = demoScenario({ seed: 1, today: '2026-03-09' });
    const keys = loans.map(({ id }) => ({ key: `demo:loan:${id}` }));
    await prisma.appliedEffect.createMany({ data: keys.slice(1) });
    const now = at('2026-03-09T08:00');
    expect(await acceptDemoPlan(world.database, now)).toBe(false);
    await prisma.appliedEffect.createMany({ data: keys.slice(0, 1) });
    const outcomes = await Promise.all([1, 2].map(() => acceptDemoPlan(world.database, now)));
    expect(outcomes.filter((accepted) => accepted)).toHaveLength(1);
    expect(await acceptDemoPlan(world.database, now)).toBe(false);
    expect((await look(now)).changes).toEqual([]);
  });

  /** A set with its analysis, as the worker leaves them. */
  async function measure(blockingIn: readonly string[]): Promise<string> {
    const { prisma } = world.database;
    const unit = await prisma.unit.findFirstOrThrow({ where: { loanId } });
    const held = {
      horizontalDeg: [],
      verticalDeg: [],
      impedance: true,
      distortionLevelsDb: [],
      multitone: false,
      compressionLevelsDb: [],
      blocking: blockingIn.length,
      blockingIn,
    };
    const id = crypto.randomUUID();
    await prisma.computation.create({
      data: {
        id,
        algorithmVersion: 'test',
        settings: {},
        inputs: [],
        state: 'done',
        summary: json({ held, blocking: blockingIn.length, checks: 0, notes: 0, numbers: {} }),
      },
    });
    const set = await prisma.measurementSet.create({
      data: { unitId: unit.id, name: 'set', analyses: { create: { computationId: id } } },
    });
    return set.id;
  }
});
