import { DateTime } from 'luxon';
import type { CivilDay, SlotGrid } from './slotGrid.js';
import { normalised, without, type Window } from './windows.js';

/** Open from one wall-clock time to another on one weekday. */
export interface WeeklyHours {
  /** 1 = Monday .. 7 = Sunday (ISO 8601). */
  readonly weekday: number;
  /** HH:MM on the wall clock of the zone. */
  readonly from: string;
  /** HH:MM, later than `from`; 24:00 is the end of the day. */
  readonly to: string;
}

/** A stretch between two instants (ISO 8601 with offset or Z) in which someone is away or a place is shut. */
export interface ClosedSpan {
  readonly from: string;
  readonly to: string;
  readonly why?: string | undefined;
}

export interface OpenWindowsInput {
  readonly zone: string;
  /** Absent: open round the clock. */
  readonly hours?: readonly WeeklyHours[] | undefined;
  /** Civil dates (YYYY-MM-DD) without any hours. */
  readonly holidays?: readonly string[] | undefined;
  readonly closed?: readonly ClosedSpan[] | undefined;
}

/**
 * The slots in which someone works or a place is open.
 *
 * Wall-clock hours are kept through clock changes: 09:00 stays 09:00. An hour that the clock skips begins when the
 * clock resumes; an hour that happens twice is taken from its first occurrence to the last end. Only whole slots count:
 * an opening is rounded up, a closing down.
 */
export function openWindows(grid: SlotGrid, input: OpenWindowsInput): Window[] {
  const holidays = new Set(input.holidays);
  const open: Window[] = [];
  if (!input.hours) open.push([0, grid.slots]);
  else addWeekly(grid, input.zone, input.hours, holidays, open);
  const dayOff = input.hours ? [] : holidayWindows(grid, input.zone, holidays);
  return without(normalised(open), normalised([...closedWindows(grid, input.closed), ...dayOff]));
}

function addWeekly(
  grid: SlotGrid,
  zone: string,
  hours: readonly WeeklyHours[],
  holidays: ReadonlySet<string>,
  open: Window[],
): void {
  const byWeekday = new Map<number, WeeklyHours[]>();
  for (const entry of hours) {
    byWeekday.set(entry.weekday, [...(byWeekday.get(entry.weekday) ?? []), entry]);
  }
  for (const day of grid.civilDays(zone)) {
    if (holidays.has(day.date)) continue;
    for (const entry of byWeekday.get(day.weekday) ?? []) {
      const from = grid.atOrAfter(wallClockMs(day, entry.from, zone));
      const to = grid.atOrBefore(wallClockMs(day, entry.to, zone));
      if (to > Math.max(from, 0)) open.push([Math.max(from, 0), Math.min(to, grid.slots)]);
    }
  }
}

/** Slots that no whole-slot work may touch: a closure is rounded outwards. */
function closedWindows(grid: SlotGrid, closed: readonly ClosedSpan[] = []): Window[] {
  return closed.map(({ from, to }) => [grid.atOrBefore(Date.parse(from)), grid.atOrAfter(Date.parse(to))]);
}

function holidayWindows(grid: SlotGrid, zone: string, holidays: ReadonlySet<string>): Window[] {
  if (holidays.size === 0) return [];
  return grid
    .civilDays(zone)
    .filter((day) => holidays.has(day.date))
    .map((day) => [grid.atOrBefore(day.startMs), grid.atOrAfter(day.endMs)]);
}

/** Instant of a wall-clock time on a civil day. */
export function wallClockMs(day: CivilDay, clock: string, zone: string): number {
  const minutes = minutesOfDay(clock);
  if (minutes >= 1440) return day.endMs;
  // An ordinary day needs no calendar arithmetic; only days of a clock change do.
  if (day.endMs - day.startMs === 86_400_000) return day.startMs + minutes * 60_000;
  const [year, month, date] = day.date.split('-').map(Number) as [number, number, number];
  return DateTime.fromObject(
    { year, month, day: date, hour: Math.floor(minutes / 60), minute: minutes % 60 },
    { zone },
  ).toMillis();
}

/** HH:MM as minutes after midnight; NaN when it is not one. */
export function minutesOfDay(clock: string): number {
  const match = /^(\d{1,2}):(\d{2})$/.exec(clock);
  if (!match) return NaN;
  const minutes = Number(match[1]) * 60 + Number(match[2]);
  return Number(match[2]) < 60 && minutes <= 1440 ? minutes : NaN;
}
