/** Moving, pinning and marking one booking by hand: checked first, then written in one change. */
import type { z } from 'zod';
import type { ChangeBooking } from '../contracts/index.js';
import { change, NotFound, StaleVersion, type Actor, type Database } from '../store/index.js';
import { applyBookings } from './applyPlan.js';
import { loadBookings, peopleOf, placeOf, type BookingRow } from './bookingRows.js';
import { inHouseTerms } from './housePlan.js';
import { SLOT_MS } from './loanTemplates.js';
import { isWithin, openHours } from './openHours.js';
import { whenWords } from './planCauses.js';
import { planInput, type PlanInput } from './planInput.js';
import { runPlan } from './planner.js';
import { loadNames, type Names } from './planViews.js';
import { lockPlan, tellPlan, wantedBooking } from './proposals.js';
import { stepTemplate } from './workTemplates.js';

type Ask = z.output<typeof ChangeBooking>;

/** It cannot be there at all, whatever gives way. */
export class MoveImpossible extends Error {
  readonly code = 'move-impossible';
}
/** Other bookings stand there, or would have to follow. */
export class InTheWay extends Error {
  readonly code = 'in-the-way';
  readonly rows: readonly BookingRow[];
  constructor(message: string, rows: readonly BookingRow[]) {
    super(message);
    this.rows = rows;
  }
}

/** What was checked must still hold when it is written: if the plan changed in between, it is checked again. */
const TRIES = 4;

export async function changeBooking(
  database: Database,
  by: Actor,
  id: string,
  ask: Ask,
  now: Date,
): Promise<void> {
  for (let attempt = 1; ; attempt++) {
    const state = await database.prisma.planState.findUniqueOrThrow({ where: { id: 1 } });
    const [row] = await loadBookings(database.prisma, { id, cancelledAt: null });
    if (!row) throw new NotFound('That booking is not there (any more).');
    if (row.version !== ask.version) throw new StaleVersion(row);
    try {
      return await changeOnce(database, by, row, ask, state.version, now);
    } catch (error) {
      if (attempt >= TRIES || !(error instanceof StaleVersion)) throw error;
    }
  }
}

async function changeOnce(
  database: Database,
  by: Actor,
  row: BookingRow,
  ask: Ask,
  planVersion: number,
  now: Date,
): Promise<void> {
  const { id } = row;
  const next = nextRow(row, ask, now);
  const names = await loadNames(database.prisma);
  const input = await planInput(database.prisma, now);
  const elsewhere = isElsewhere(row, next);
  if (elsewhere) await insistOnRoom(input, row, next, names);
  const units = row.takes.flatMap(({ resource }) =>
    resource.startsWith('unit:') ? [resource.slice('unit:'.length)] : [],
  );
  await change(database, by, async (made) => {
    await lockPlan(made, planVersion);
    const claimed = await made.tx.booking.updateMany({
      where: { id, version: ask.version, cancelledAt: null },
      data: {
        pinned: next.pinned,
        ...(elsewhere ? {} : { outcome: next.outcome, version: { increment: 1 } }),
      },
    });
    if (claimed.count === 0) throw new StaleVersion((await loadBookings(made.tx, { id }))[0]);
    if (elsewhere) await applyBookings(made, [{ id, next: { ...next, place: placeOf(row), units } }], now);
    await made.tx.planState.update({ where: { id: 1 }, data: { version: { increment: 1 } } });
    tellPlan(made, planVersion + 1, [row.loanId], changeWords(row, next, names, input.zone));
  });
}

interface NextRow extends Omit<BookingRow, 'takes'> {
  readonly people: readonly string[];
}

function nextRow(row: BookingRow, ask: Ask, now: Date): NextRow {
  const start = ask.start === undefined ? row.start : new Date(ask.start);
  const people = ask.personIds ?? peopleOf(row);
  const moved = ask.start !== undefined || ask.personIds !== undefined;
  if (ask.outcome !== undefined && ask.outcome !== null && row.start > now) {
    throw new MoveImpossible('This session has not begun yet: whether it took place is said afterwards.');
  }
  if (start.getTime() % SLOT_MS !== 0) throw new MoveImpossible('Bookings begin on a quarter of an hour.');
  const { takes: _takes, ...rest } = row;
  return {
    ...rest,
    start,
    finish: new Date(start.getTime() + row.finish.getTime() - row.start.getTime()),
    people,
    // What somebody puts somewhere by hand stays there.
    pinned: ask.pinned ?? (moved ? true : row.pinned),
    outcome: ask.outcome === undefined ? row.outcome : ask.outcome,
  };
}

const isElsewhere = (row: BookingRow, next: NextRow): boolean =>
  row.start.getTime() !== next.start.getTime() ||
  [...peopleOf(row)].sort().join() !== [...next.people].sort().join();

/** @throws MoveImpossible, InTheWay */
async function insistOnRoom(input: PlanInput, row: BookingRow, next: NextRow, names: Names): Promise<void> {
  const wanted = wantedBooking(input, { bookingId: row.id, start: next.start, people: next.people });
  if (next.start < input.now) throw new MoveImpossible('That time is over already.');
  const closed = closedWords(input, row, next, names);
  if (closed.length > 0) throw new MoveImpossible(closed.join(' '));
  const busy = overlapping(input, row, next);
  if (busy.length > 0) throw new InTheWay(busyWords(busy, names, input.zone), busy);
  // Everything else stands still: what then no longer holds is in the way of this move.
  const still = (input.engine.previous ?? []).map((booking) => ({ ...booking, pinned: true }));
  const standing = { ...input.engine, attempts: 0, previous: still };
  const moved = { ...standing, previous: [wanted, ...still.filter(({ id }) => id !== wanted.id)] };
  const [before, after] = await Promise.all([runPlan(standing), runPlan(moved)]);
  const place = inHouseTerms({ ...input, engine: moved }, after).bookings.find(
    (one) => one.loanId === row.loanId && one.stepId === row.stepId && one.session === row.session,
  );
  const known = new Set(before.problems.map(({ code, bookingId }) => `${code} ${bookingId ?? ''}`));
  const problems = after.problems.filter(
    ({ code, bookingId }) => bookingId === wanted.id || !known.has(`${code} ${bookingId ?? ''}`),
  );
  const own = problems.find(({ bookingId, code }) => bookingId === wanted.id && code.startsWith('pin-'));
  if (own) throw new MoveImpossible(own.message);
  if (place && [...place.people].sort().join() !== [...next.people].sort().join()) {
    throw new MoveImpossible(
      `${next.people.map((id) => names.person(id)).join(' and ')} cannot do “${row.label}”: it takes ${place.people.length} of those who do this kind of work.`,
    );
  }
  const followers = problems.flatMap(({ bookingId }) => rowOf(input, bookingId) ?? []);
  if (followers.length > 0) {
    throw new InTheWay(
      `These would have to move too: ${listWords(followers, names, input.zone)}.`,
      followers,
    );
  }
}

function closedWords(input: PlanInput, row: BookingRow, next: NextRow, names: Names): string[] {
  const day = 24 * 3600_000;
  const hours = openHours(
    input.calendars,
    new Date(next.start.getTime() - day),
    new Date(next.finish.getTime() + day),
  );
  const units = input.loans.find(({ id }) => id === row.loanId)?.units ?? [];
  const step = stepTemplate(input.templates, units, row.kind);
  const place = placeOf(row);
  const within = (spans: Parameters<typeof isWithin>[0]) => isWithin(spans, next.start, next.finish);
  return [
    ...next.people
      .filter((id) => !within(hours.person(id)))
      .map((id) => `${names.person(id)} does not work then.`),
    ...(place !== null && !step?.unattended && !within(hours.place(place))
      ? [`${capital(names.place(place))} is closed then.`]
      : []),
    ...(step?.loud && !within(hours.loud()) ? ['Loud work is not allowed then.'] : []),
  ];
}

const capital = (name: string): string => name.charAt(0).toUpperCase() + name.slice(1);

/** Bookings that take the same person or cabinet, or the last lane of the same place, at the same time. */
function overlapping(input: PlanInput, row: BookingRow, next: NextRow): BookingRow[] {
  const others = input.rows.filter(
    (other) => other.id !== row.id && other.start < next.finish && other.finish > next.start,
  );
  const fixed = row.takes.flatMap(({ resource }) => (resource.startsWith('unit:') ? [resource] : []));
  const wanted = new Set([...fixed, ...next.people.map((id) => `person:${id}`)]);
  const place = placeOf(row);
  const there = others.filter((other) => place !== null && placeOf(other) === place);
  const capacity = input.calendars.places.find(({ id }) => id === place)?.capacity ?? 1;
  return others.filter(
    (other) =>
      other.takes.some(({ resource }) => wanted.has(resource)) ||
      (there.includes(other) && there.length >= capacity),
  );
}

function rowOf(input: PlanInput, bookingId: string | undefined): BookingRow | undefined {
  const slash = bookingId?.lastIndexOf('/') ?? -1;
  if (bookingId === undefined || slash < 0) return undefined;
  const standing = input.standings.get(bookingId.slice(0, slash));
  return standing?.movable[Number(bookingId.slice(slash + 1)) - 1];
}

const listWords = (rows: readonly BookingRow[], names: Names, zone: string): string =>
  rows.map((one) => `“${one.label}” of ${names.loan(one.loanId)} (${whenWords(one.start, zone)})`).join(', ');

const busyWords = (rows: readonly BookingRow[], names: Names, zone: string): string =>
  `Taken then: ${listWords(rows, names, zone)}.`;

function changeWords(row: BookingRow, next: NextRow, names: Names, zone: string): string {
  const what = `“${row.label}” of ${names.loan(row.loanId)}`;
  if (row.start.getTime() !== next.start.getTime())
    return `moved ${what} from ${whenWords(row.start, zone)} to ${whenWords(next.start, zone)}`;
  if (isElsewhere(row, next))
    return `gave ${what} to ${next.people.map((id) => names.person(id)).join(' and ')}`;
  if (row.outcome !== next.outcome)
    return next.outcome === null
      ? `took back what was said of ${what}`
      : `says that ${what} ${next.outcome === 'worked' ? 'took place' : 'did not take place'}`;
  return `${next.pinned ? 'pinned' : 'unpinned'} ${what} at ${whenWords(row.start, zone)}`;
}
