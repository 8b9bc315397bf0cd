/**
 * The clock of the house. The plan happens in its rooms, so every time of the plan is said on its clock, whatever zone
 * the reader's device is in. Days are `YYYY-MM-DD`, instants ISO date-times.
 */
import { DateTime } from 'luxon';
import { dayNumber, dayOf } from './dates.js';

export const addDays = (day: string, days: number): string => dayOf(dayNumber(day) + days);

/** The Monday of a day's week. 1970-01-05, day number 4, was one. */
export function mondayOf(day: string): string {
  const number = dayNumber(day);
  return dayOf(number - ((((number - 4) % 7) + 7) % 7));
}

export interface WallClock {
  readonly day: string;
  /** Since the clock showed midnight. */
  readonly minute: number;
}

/** Where the hands stand at an instant. */
export function wallClock(instant: string, zone: string): WallClock {
  const at = DateTime.fromISO(instant, { zone });
  return { day: at.toFormat('yyyy-MM-dd'), minute: at.hour * 60 + at.minute };
}

/** The instant at which the hands stand so; a time that is skipped in spring is the one an hour later. */
export function instantAt({ day, minute }: WallClock, zone: string): string {
  const at = DateTime.fromISO(day, { zone }).set({ hour: Math.floor(minute / 60), minute: minute % 60 });
  return at.toUTC().toISO() ?? '';
}

/** Moved along the clock: days stay days when the clocks are changed, and so does the time of day. */
export function movedBy(instant: string, by: { days?: number; minutes?: number }, zone: string): string {
  const at = DateTime.fromISO(instant, { zone }).plus(by);
  return at.toUTC().toISO() ?? instant;
}

/** `09:30` */
export const timeOfDay = (instant: string, zone: string): string =>
  DateTime.fromISO(instant, { zone }).toFormat('HH:mm');

/** Minutes since midnight as `09:30`; the end of the day is 24:00. */
export const clockOf = (minute: number): string =>
  `${String(Math.floor(minute / 60)).padStart(2, '0')}:${String(minute % 60).padStart(2, '0')}`;

/** The value of a `datetime-local` field for an instant, on the house's clock, and back. */
export const toHouseField = (instant: string | null, zone: string): string =>
  instant === null ? '' : DateTime.fromISO(instant, { zone }).toFormat("yyyy-MM-dd'T'HH:mm");
export function fromHouseField(text: string, zone: string): string | null {
  const at = DateTime.fromISO(text, { zone });
  return text !== '' && at.isValid ? at.toUTC().toISO() : null;
}

/** Whether the reader's own clock shows the same as the house's just now. */
export function isOwnClock(zone: string, now: Date): boolean {
  return DateTime.fromJSDate(now, { zone }).offset === -now.getTimezoneOffset();
}
