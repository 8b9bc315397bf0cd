/** The plan in force: proposed, accepted, changed by hand, on two servers at once, on both back ends. */
import { DateTime } from 'luxon';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { Refused, type BookingView } from '../../libs/contracts/index.js';
import {
  dataBackEnds,
  makeInstallation,
  type Installation,
  type RunningInstallation,
} from './installation.js';
import { acceptPlan, addLoans, allBookings, clashes, dayFromNow, mondayAt, ZONE } from './planScene.js';
import { openTables, startSecond } from './secondServer.js';
import { join, refusalOf, setUpOwner, visit, type Visitor } from './visitor.js';

describe.each(dataBackEnds)('the plan in force on %s', (backEnd) => {
  let installation: Installation;
  let server: RunningInstallation;
  let host: Visitor;
  /** A colleague, who works on another server. */
  let colleague: Visitor;

  beforeAll(async () => {
    installation = await makeInstallation(backEnd);
    server = await installation.start();
    host = await setUpOwner(server.url);
    const joined = await join(host, 'cohost', 'Bo Lind');
    const second = await startSecond(installation);
    colleague = visit(second.url, joined.cookie());
  });
  afterAll(() => installation.remove());

  it('is proposed with its reason, accepted as it was seen, and then stands', async () => {
    await addLoans(host, [{ title: 'Heron 3' }, { title: 'Reed 5', arrivesIn: 5 }]);
    const before = await host.client.plan();
    expect(before).toMatchObject({ version: 0, acceptedAt: null });
    expect(before.causes.map(({ code }) => code)).toEqual(['first-plan']);
    expect(before.changes.every(({ change }) => change === 'added')).toBe(true);
    const need = (await host.client.dashboard()).needs.find(({ group }) => group === 'plan');
    expect(need?.sentence).toContain(`${before.changes.length} bookings should change.`);

    const proposal = await host.client.proposePlan();
    expect(proposal.changes).toEqual(before.changes);
    const after = await host.client.acceptPlan(proposal.id, { version: proposal.version });
    expect(after).toMatchObject({ version: 1, acceptedBy: 'Ida Rask', changes: [], causes: [] });
    // Asked again because the answer was lost: nothing happens twice.
    expect((await host.client.acceptPlan(proposal.id, { version: proposal.version })).version).toBe(1);
    const bookings = await allBookings(colleague);
    expect(bookings).toHaveLength(before.changes.length);
    expect(clashes(bookings)).toEqual([]);
    expect((await host.client.dashboard()).needs.filter(({ group }) => group === 'plan')).toEqual([]);
    expect((await colleague.client.plan()).changes).toEqual([]);
  });

  it('changes as little as possible when a crate is late, a person is away and a loan is extended', async () => {
    const before = await allBookings(host);
    const heron = (await host.client.loans()).find(({ title }) => title === 'Heron 3');
    await host.client.changeLoan(heron?.id ?? '', {
      version: heron?.version ?? 0,
      arrivalFrom: dayFromNow(5),
      arrivalTo: dayFromNow(5),
      returnBy: dayFromNow(70),
    });
    const late = await host.client.plan();
    expect(late.causes.map(({ code }) => code)).toEqual(['crate-late', 'extended']);
    expect(late.changes.length).toBeGreaterThan(0);
    expect(late.changes.length).toBeLessThan(before.length);
    expect(late.changes.every(({ change }) => change !== 'added' && change !== 'removed')).toBe(true);
    await acceptPlan(host);

    const [first] = (await allBookings(host)).filter(({ people }) => people.length > 0);
    const away = { from: first?.start ?? '', to: first?.finish ?? '' };
    await host.client.addAbsence({ personId: first?.people[0]?.id ?? '', ...away, why: 'dentist' });
    const without = await colleague.client.plan();
    expect(without.causes[0]?.sentence).toMatch(/ is away: .* to /);
    expect(without.changes.map(({ bookingId }) => bookingId)).toContain(first?.id);
    expect((await acceptPlan(colleague)).changes).toEqual([]);
    expect(clashes(await allBookings(host))).toEqual([]);
  });

  it('accepts one of two plans made at once, and shows the other planner both', async () => {
    await addLoans(host, [{ title: 'Whin 4', kind: 'subwoofer' }]);
    const [mine, theirs] = await Promise.all([host.client.proposePlan(), colleague.client.proposePlan()]);
    expect(mine.version).toBe(theirs.version);
    const outcomes = await Promise.allSettled([
      host.client.acceptPlan(mine.id, { version: mine.version }),
      colleague.client.acceptPlan(theirs.id, { version: theirs.version }),
    ]);
    expect(outcomes.map(({ status }) => status).sort()).toEqual(['fulfilled', 'rejected']);
    const refused = outcomes.find((one) => one.status === 'rejected')?.reason as Refused;
    expect(refused.status).toBe(409);
    const conflict = refused.refusal.conflict as {
      current: { id: string; changes: [] };
      sent: { id: string };
    };
    expect([mine.id, theirs.id]).toContain(conflict.sent.id);
    expect(conflict.current.changes).toEqual([]);
    expect((await host.client.plan()).version).toBe(mine.version + 1);
  });

  it('refuses a plan whose facts have changed since', async () => {
    const proposal = await host.client.proposePlan();
    const [loan] = await host.client.loans();
    await host.client.changeLoan(loan?.id ?? '', { version: loan?.version ?? 0, returnBy: dayFromNow(80) });
    const refused = await refusalOf(host.client.acceptPlan(proposal.id, { version: proposal.version }));
    expect(refused).toMatchObject({ status: 409, refusal: { code: 'plan-changed' } });
    await acceptPlan(host);
  });

  it('moves a booking by hand where there is room, and says what else is in the way', async () => {
    const bookings = await allBookings(host);
    const edit = bookings.find(({ kind, session }) => kind === 'edit' && session === 2) as BookingView;
    const start = mondayAt(40, '10:00');
    const night = await refusalOf(
      host.client.changeBooking(edit.id, { version: edit.version, start: mondayAt(40, '03:00') }),
    );
    expect(night).toMatchObject({ status: 422, refusal: { code: 'move-impossible' } });
    expect(night.refusal.message).toContain('does not work then');
    const early = await refusalOf(
      host.client.changeBooking(edit.id, { version: edit.version, start: mondayAt(-9, '10:00') }),
    );
    expect(early.refusal.message).toContain('over already');

    const sameFilmer = bookings.filter(
      ({ id, people, start: at }) =>
        id !== edit.id &&
        people[0]?.id === edit.people[0]?.id &&
        DateTime.fromISO(at, { zone: ZONE }).hour < 13,
    );
    const [other] = sameFilmer as [BookingView];
    const taken = await refusalOf(
      host.client.changeBooking(edit.id, { version: edit.version, start: other.start }),
    );
    expect(taken).toMatchObject({ status: 409, refusal: { code: 'in-the-way' } });
    expect(taken.refusal.message).toContain(`“${other.label}” of ${other.loanTitle}`);

    // Publishing waits for the film: it would have to follow.
    const follows = await refusalOf(host.client.changeBooking(edit.id, { version: edit.version, start }));
    expect(follows).toMatchObject({ status: 409, refusal: { code: 'in-the-way' } });
    expect(follows.refusal.message).toContain('“Publish”');
    const proposal = await host.client.proposePlan({ moves: [{ bookingId: edit.id, start }] });
    const kinds = proposal.changes.filter(({ loanId }) => loanId === edit.loanId).map(({ label }) => label);
    expect(kinds).toContain('Publish');
    await host.client.acceptPlan(proposal.id, { version: proposal.version });
    const moved = await host.client.booking(edit.id);
    expect(moved).toMatchObject({ start: new Date(start).toISOString(), pinned: true });

    const stale = await refusalOf(
      host.client.changeBooking(edit.id, { version: edit.version, pinned: false }),
    );
    expect(stale.status).toBe(409);
    const later = await host.client.changeBooking(moved.id, {
      version: moved.version,
      start: mondayAt(40, '09:30'),
    });
    expect(later).toMatchObject({ start: new Date(mondayAt(40, '09:30')).toISOString(), pinned: true });
    const free = await host.client.changeBooking(later.id, { version: later.version, pinned: false });
    expect(free.pinned).toBe(false);
  });

  it('never gives one person to two bookings, however two people move them at once on two servers', async () => {
    await addLoans(host, [{ title: 'Sedge 1' }, { title: 'Sedge 2' }]);
    await acceptPlan(host);
    let [one, two] = (await allBookings(host)).filter(({ kind }) => kind === 'publish') as [
      BookingView,
      BookingView,
    ];
    const personIds = [one.people[0]?.id ?? ''];
    for (let round = 0; round < 5; round++) {
      const start = mondayAt(60 + 7 * round, '11:00');
      const outcomes = await Promise.allSettled([
        host.client.changeBooking(one.id, { version: one.version, start, personIds }),
        colleague.client.changeBooking(two.id, { version: two.version, start, personIds }),
      ]);
      expect(outcomes.map(({ status }) => status).sort()).toEqual(['fulfilled', 'rejected']);
      const refused = outcomes.find((outcome) => outcome.status === 'rejected')?.reason as Refused;
      expect(refused.status).toBe(409);
      expect(['double-booking', 'in-the-way']).toContain(refused.refusal.code);
      expect(clashes(await allBookings(colleague))).toEqual([]);
      [one, two] = [await host.client.booking(one.id), await host.client.booking(two.id)];
    }
  });

  it('is held by the database itself: two rows for one person at one time are not both committed', async () => {
    const tables = await openTables(installation);
    try {
      const bookings = (await allBookings(host)).slice(0, 2) as [BookingView, BookingView];
      const resource = `person:${crypto.randomUUID()}`;
      // Both may have looked, seen nobody there, and gone on.
      const outcomes = await Promise.allSettled(
        bookings.map(async ({ id }) => {
          const client = await tables.pool.connect();
          try {
            await client.query('begin');
            await client.query(
              `update "Booking" set "start" = '2031-03-03T09:00Z', "finish" = '2031-03-03T10:00Z' where "id" = $1`,
              [id],
            );
            await client.query(
              `insert into "BookingTake" ("bookingId", "resource", "start", "finish") values ($1, $2, '2031-03-03T09:00Z', '2031-03-03T10:00Z')`,
              [id, resource],
            );
            await new Promise((resolve) => setTimeout(resolve, 100));
            await client.query('commit');
          } catch (error) {
            await client.query('rollback');
            throw error;
          } finally {
            client.release();
          }
        }),
      );
      expect(outcomes.map(({ status }) => status).sort()).toEqual(['fulfilled', 'rejected']);
      const refused = outcomes.find((one) => one.status === 'rejected')?.reason as { code: string };
      // exclusion_violation; or, when each waits to see whether the other commits, deadlock_detected (PostgreSQL 17, app. A).
      expect(['23P01', '40P01']).toContain(refused.code);
      const kept = await tables.pool.query('select 1 from "BookingTake" where "resource" = $1', [resource]);
      expect(kept.rowCount).toBe(1);
    } finally {
      await tables.close();
    }
  });
});
