/** Puts bookings where a plan wants them, in one change: rows, what they take, whose calendars show them. */
import type { Change } from '../store/index.js';
import { checkBookings } from '../store/index.js';
import type { PlannedBooking } from './housePlan.js';

/** What should become of one booking: `id` of the row there is, `next` as it should stand; null: dropped. */
export interface BookingWrite {
  readonly id: string | null;
  readonly next: PlannedBooking | null;
}

/** @throws DoubleBooked when the database finds a person, place or unit taken twice */
export async function applyBookings(made: Change, writes: readonly BookingWrite[], now: Date): Promise<void> {
  const ids = writes.flatMap(({ id }) => id ?? []);
  await made.tx.bookingTake.deleteMany({ where: { bookingId: { in: ids } } });
  const dropped = writes.flatMap(({ id, next }) => (id !== null && next === null ? [id] : []));
  await made.tx.booking.updateMany({
    where: { id: { in: dropped } },
    data: { cancelledAt: now, version: { increment: 1 } },
  });
  await made.tx.bookingPerson.updateMany({
    where: { bookingId: { in: dropped }, cancelledAt: null },
    data: { cancelledAt: now, sequence: { increment: 1 } },
  });
  const placed = await placeAll(made, writes);
  await made.tx.bookingTake.createMany({ data: placed.flatMap(({ id, next }) => takesOf(id, next)) });
  await assignLanes(made, now);
  await tellCalendars(made, placed, now);
  await checkBookings(made.tx);
}

interface Placed {
  readonly id: string;
  readonly next: PlannedBooking;
}

async function placeAll(made: Change, writes: readonly BookingWrite[]): Promise<Placed[]> {
  const placed: Placed[] = [];
  const added = writes.flatMap(({ id, next }) => (id === null && next !== null ? [next] : []));
  // A session that was dropped before comes back under its old id: calendars know it by that.
  const before = await made.tx.booking.findMany({
    where: { cancelledAt: { not: null }, loanId: { in: [...new Set(added.map(({ loanId }) => loanId))] } },
    select: { id: true, loanId: true, stepId: true, session: true },
  });
  const known = new Map(before.map((row) => [`${row.loanId}/${row.stepId}/${row.session}`, row.id]));
  const fresh: PlannedBooking[] = [];
  for (const { id, next } of writes) {
    if (next === null) continue;
    const rowId = id ?? known.get(`${next.loanId}/${next.stepId}/${next.session}`);
    if (rowId === undefined) {
      fresh.push(next);
      continue;
    }
    await made.tx.booking.update({
      where: { id: rowId },
      data: { ...columns(next), cancelledAt: null, outcome: null, version: { increment: 1 } },
    });
    placed.push({ id: rowId, next });
  }
  const rows = await made.tx.booking.createManyAndReturn({
    data: fresh.map(columns),
    select: { id: true, loanId: true, stepId: true, session: true },
  });
  const keptIds = new Map(rows.map((row) => [`${row.loanId}/${row.stepId}/${row.session}`, row.id]));
  for (const next of fresh) {
    const id = keptIds.get(`${next.loanId}/${next.stepId}/${next.session}`);
    if (id !== undefined) placed.push({ id, next });
  }
  return placed;
}

const columns = (next: PlannedBooking) => ({
  loanId: next.loanId,
  unitId: next.unitId,
  stepId: next.stepId,
  kind: next.kind,
  label: next.label,
  session: next.session,
  start: next.start,
  finish: next.finish,
  pinned: next.pinned,
});

function takesOf(bookingId: string, { start, finish, people, place, units }: PlannedBooking) {
  const resources = [
    ...people.map((id) => `person:${id}`),
    ...(place === null ? [] : [`place:${place}`]),
    ...units.map((id) => `unit:${id}`),
  ];
  return resources.map((resource) => ({ bookingId, resource, start, finish }));
}

interface LaneRow {
  bookingId: string;
  lane: number;
  start: Date;
  finish: Date;
}

/**
 * A place that takes several pieces of work at once has lanes. Taken in the order of their starts, each booking
 * finds a lane that is free, as long as no more overlap than there are lanes; what has begun keeps its own.
 */
async function assignLanes(made: Change, now: Date): Promise<void> {
  const places = await made.tx.place.findMany({ where: { capacity: { gt: 1 } } });
  for (const { id, capacity } of places) {
    const resource = `place:${id}`;
    const rows: LaneRow[] = await made.tx.bookingTake.findMany({
      where: { resource, finish: { gt: now } },
      orderBy: [{ start: 'asc' }, { bookingId: 'asc' }],
    });
    const freeAt = new Map<number, Date>();
    for (const row of rows) {
      const lane = row.start <= now ? row.lane : freeLane(freeAt, row.start, capacity);
      freeAt.set(lane, row.finish);
      if (lane === row.lane) continue;
      await made.tx.bookingTake.update({
        where: { bookingId_resource: { bookingId: row.bookingId, resource } },
        data: { lane },
      });
    }
  }
}

function freeLane(freeAt: ReadonlyMap<number, Date>, start: Date, capacity: number): number {
  for (let lane = 1; lane < capacity; lane++) {
    const free = freeAt.get(lane);
    if (free === undefined || free <= start) return lane;
  }
  // The last one, free or not: if it is taken, the database says so.
  return capacity;
}

/** Each person's calendar counts what it must hear of a booking, also that it is no longer theirs. */
async function tellCalendars(made: Change, placed: readonly Placed[], now: Date): Promise<void> {
  const entries = await made.tx.bookingPerson.findMany({
    where: { bookingId: { in: placed.map(({ id }) => id) } },
  });
  const fresh: { bookingId: string; accountId: string }[] = [];
  const touched: { bookingId: string; accountId: string; theirs: boolean }[] = [];
  for (const { id, next } of placed) {
    const known = entries.filter(({ bookingId }) => bookingId === id);
    for (const accountId of next.people) {
      if (!known.some((entry) => entry.accountId === accountId)) fresh.push({ bookingId: id, accountId });
    }
    for (const { accountId, cancelledAt } of known) {
      const theirs = next.people.includes(accountId);
      if (theirs || cancelledAt === null) touched.push({ bookingId: id, accountId, theirs });
    }
  }
  await made.tx.bookingPerson.createMany({ data: fresh });
  for (const { bookingId, accountId, theirs } of touched) {
    await made.tx.bookingPerson.update({
      where: { bookingId_accountId: { bookingId, accountId } },
      data: { cancelledAt: theirs ? null : now, sequence: { increment: 1 } },
    });
  }
}
