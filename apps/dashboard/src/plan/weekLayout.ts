/** A week of bookings as lanes in day columns; pure. Minutes count from midnight on the house's clock. */
import type { BookingsView, BookingView, CalendarRow } from '../contracts.js';
import { addDays, wallClock } from '../words/houseClock.js';

export const DAY_MINUTES = 1440;
export const PX_PER_HOUR = 46;
export const SNAP_MINUTES = 15;

export interface Lane {
  readonly id: string;
  readonly name: string;
  readonly kind: 'place' | 'person' | 'elsewhere';
}
export type Show = 'places' | 'people' | (string & {});

export interface Stretch {
  readonly from: number;
  readonly to: number;
}
/** What of a booking lies on one day, beside others of the same lane at the same time. */
export interface Piece extends Stretch {
  readonly booking: BookingView;
  readonly lane: number;
  /** Of `columns` side by side within the lane. */
  readonly column: number;
  readonly columns: number;
}

/** Where a booking would be put. */
export interface Tentative {
  readonly booking: BookingView;
  readonly start: string;
}

export const lengthOf = ({ start, finish }: Pick<BookingView, 'start' | 'finish'>): number =>
  Math.min(DAY_MINUTES, (Date.parse(finish) - Date.parse(start)) / 60_000);

/** Work that needs no place of the house: drafting, packing. */
export const ELSEWHERE: Lane = { id: 'elsewhere', name: 'No place', kind: 'elsewhere' };

/** `the listening room` stands above a column as `Listening room`. */
export function laneName(name: string): string {
  const bare = name.replace(/^the /, '');
  return bare.charAt(0).toUpperCase() + bare.slice(1);
}

export function lanesOf(view: Pick<BookingsView, 'rows' | 'bookings'>, show: Show): Lane[] {
  const lane = ({ id, kind, name }: CalendarRow): Lane => ({ id, kind, name: laneName(name) });
  if (show === 'people') return view.rows.filter(({ kind }) => kind === 'person').map(lane);
  const one = view.rows.find(({ id }) => id === show);
  if (one) return [lane(one)];
  if (show === ELSEWHERE.id) return [ELSEWHERE];
  return view.rows.filter(({ kind }) => kind === 'place').map(lane);
}

/** Nobody and no place is taken: it goes on by itself, over nights too. */
export const isUnattended = (booking: BookingView): boolean =>
  booking.people.length === 0 && booking.place === null;

export function isInLane(booking: BookingView, lane: Lane): boolean {
  if (isUnattended(booking)) return false;
  if (lane.kind === 'elsewhere') return booking.place === null;
  if (lane.kind === 'place') return lane.id === `place:${booking.place?.id ?? ''}`;
  return booking.people.some(({ id }) => lane.id === `person:${id}`);
}

/** What of a span lies on a day; null when nothing does. */
export function stretchOn(
  day: string,
  span: { readonly from: string; readonly to: string },
  zone: string,
): Stretch | null {
  const start = wallClock(span.from, zone);
  const end = wallClock(span.to, zone);
  if (start.day > day || end.day < day) return null;
  const from = start.day === day ? start.minute : 0;
  const to = end.day === day ? end.minute : DAY_MINUTES;
  return to > from ? { from, to } : null;
}

export const stretchesOn = (
  day: string,
  spans: readonly { readonly from: string; readonly to: string }[],
  zone: string,
): Stretch[] => spans.flatMap((span) => stretchOn(day, span, zone) ?? []);

export const bookingOn = (day: string, { start, finish }: BookingView, zone: string): Stretch | null =>
  stretchOn(day, { from: start, to: finish }, zone);

/** What is not open of a day. */
export function closedOf(open: readonly Stretch[]): Stretch[] {
  const closed: Stretch[] = [];
  let at = 0;
  for (const { from, to } of [...open].sort((a, b) => a.from - b.from)) {
    if (from > at) closed.push({ from: at, to: from });
    at = Math.max(at, to);
  }
  return at < DAY_MINUTES ? [...closed, { from: at, to: DAY_MINUTES }] : closed;
}

/** What lies in both. */
export function common(a: readonly Stretch[], b: readonly Stretch[]): Stretch[] {
  return a.flatMap((one) =>
    b.flatMap((other) => {
      const from = Math.max(one.from, other.from);
      const to = Math.min(one.to, other.to);
      return to > from ? [{ from, to }] : [];
    }),
  );
}

export function piecesOn(
  day: string,
  bookings: readonly BookingView[],
  lanes: readonly Lane[],
  zone: string,
): Piece[] {
  return lanes.flatMap((lane, at) => {
    const own = bookings
      .filter((booking) => isInLane(booking, lane))
      .flatMap((booking) => {
        const stretch = bookingOn(day, booking, zone);
        return stretch ? [{ booking, ...stretch }] : [];
      })
      .sort((a, b) => a.from - b.from || b.to - a.to || a.booking.id.localeCompare(b.booking.id));
    return sideBySide(own).map((piece) => ({ ...piece, lane: at }));
  });
}

/** Those that overlap share the width. */
function sideBySide<T extends Stretch>(sorted: readonly T[]): (T & { column: number; columns: number })[] {
  const placed: (T & { column: number; columns: number })[] = [];
  let group: (T & { column: number })[] = [];
  let groupEnd = -1;
  const close = () => {
    const columns = Math.max(0, ...group.map(({ column }) => column)) + 1;
    placed.push(...group.map((one) => ({ ...one, columns })));
    group = [];
  };
  for (const one of sorted) {
    if (one.from >= groupEnd) close();
    const taken = new Set(group.filter(({ to }) => to > one.from).map(({ column }) => column));
    let column = 0;
    while (taken.has(column)) column += 1;
    group.push({ ...one, column });
    groupEnd = Math.max(groupEnd, one.to);
  }
  close();
  return placed;
}

export const daysOf = (monday: string): string[] => [0, 1, 2, 3, 4, 5, 6].map((n) => addDays(monday, n));

const FIRST_HOUR = 8;
const LAST_HOUR = 19;

/** The hours worth showing: the usual ones, and whatever is open to people or booked beyond them. */
export function hoursShown(stretches: readonly Stretch[]): Stretch {
  const from = Math.min(FIRST_HOUR * 60, ...stretches.map((one) => one.from));
  const to = Math.max(LAST_HOUR * 60, ...stretches.map((one) => one.to));
  return { from: Math.floor(from / 60) * 60, to: Math.ceil(to / 60) * 60 };
}

/** A time by hand: on a quarter of an hour, within the day. */
export function snapped(minute: number, lengthMinutes: number): number {
  const latest = Math.max(0, DAY_MINUTES - Math.min(lengthMinutes, DAY_MINUTES));
  return Math.min(latest, Math.max(0, Math.round(minute / SNAP_MINUTES) * SNAP_MINUTES));
}
