/**
 * Days and instants as people say them. A day is `YYYY-MM-DD` and means the same day everywhere; an instant is an
 * ISO date-time and is shown in the reader's zone.
 */

const DAY_MS = 86_400_000;

/** Days since 1970-01-01 of a calendar day; NaN when it is not one. */
export function dayNumber(day: string): number {
  const match = /^(\d{4})-(\d{2})-(\d{2})/.exec(day);
  if (!match) return Number.NaN;
  return Date.UTC(Number(match[1]), Number(match[2]) - 1, Number(match[3])) / DAY_MS;
}

/** The calendar day of a day number. */
export function dayOf(number: number): string {
  return new Date(number * DAY_MS).toISOString().slice(0, 10);
}

/** The calendar day an instant falls on in a zone; the reader's own when none is given. */
export function dayInZone(instant: Date, timeZone?: string): string {
  const parts = new Intl.DateTimeFormat('en-GB', {
    year: 'numeric',
    month: '2-digit',
    day: '2-digit',
    ...(timeZone ? { timeZone } : {}),
  }).formatToParts(instant);
  const part = (type: string) => parts.find((p) => p.type === type)?.value ?? '';
  return `${part('year')}-${part('month')}-${part('day')}`;
}

/** Such as `Wed 4 Mar`, with the year when it is not this one. */
export function shortDay(day: string, today: string, withWeekday = true): string {
  const number = dayNumber(day);
  if (Number.isNaN(number)) return day;
  return new Intl.DateTimeFormat('en-GB', {
    ...(withWeekday ? { weekday: 'short' } : {}),
    day: 'numeric',
    month: 'short',
    ...(day.slice(0, 4) === today.slice(0, 4) ? {} : { year: 'numeric' }),
    timeZone: 'UTC',
  })
    .format(new Date(number * DAY_MS))
    .replace(',', '');
}

/** Such as `today`, `tomorrow`, `in 5 days`, `3 weeks ago`. */
export function relativeDays(days: number): string {
  if (days === 0) return 'today';
  if (days === 1) return 'tomorrow';
  if (days === -1) return 'yesterday';
  const size = Math.abs(days);
  const words =
    size < 21
      ? `${size} days`
      : size < 70
        ? `${Math.round(size / 7)} weeks`
        : `${Math.round(size / 30.44)} months`;
  return days > 0 ? `in ${words}` : `${words} ago`;
}

/** `Fri 20 Mar, in 6 days`. */
export function dayWords(day: string, today: string): string {
  return `${shortDay(day, today)}, ${relativeDays(dayNumber(day) - dayNumber(today))}`;
}

/** How long ago or ahead an instant is: `just now`, `4 minutes ago`, `in 3 hours`, then days. */
export function relativeInstant(instant: string, now: Date, timeZone?: string): string {
  const at = new Date(instant);
  const minutes = (at.getTime() - now.getTime()) / 60_000;
  const size = Math.abs(minutes);
  if (size < 1) return minutes > 0.5 ? 'in a minute' : 'just now';
  if (size < 60) return aheadOrAgo(Math.round(minutes), 'minute');
  if (size < 60 * 12) return aheadOrAgo(Math.round(minutes / 60), 'hour');
  return relativeDays(dayNumber(dayInZone(at, timeZone)) - dayNumber(dayInZone(now, timeZone)));
}

function aheadOrAgo(count: number, unit: string): string {
  const size = Math.abs(count);
  const words = `${size} ${unit}${size === 1 ? '' : 's'}`;
  return count > 0 ? `in ${words}` : `${words} ago`;
}

/** Such as `Wed 4 Mar, 14:05` in the reader's zone. */
export function clockWords(instant: string, today: string, timeZone?: string): string {
  const at = new Date(instant);
  if (Number.isNaN(at.getTime())) return instant;
  const time = new Intl.DateTimeFormat('en-GB', {
    hour: '2-digit',
    minute: '2-digit',
    ...(timeZone ? { timeZone } : {}),
  }).format(at);
  return `${shortDay(dayInZone(at, timeZone), today)}, ${time}`;
}

/** Hours by the clock: `40 min`, `6 h`, `2.5 days`. */
export function spanWords(hours: number): string {
  const size = Math.abs(hours);
  const words =
    size < 1 ? `${Math.round(size * 60)} min` : size < 48 ? `${trim(size)} h` : `${trim(size / 24)} days`;
  return hours < 0 ? `\u2212${words}` : words;
}

/** Room before the latest start, as the plan has it. */
export interface Spare {
  readonly slackHours: number | null;
  /** Whole working days of the house. */
  readonly slackWorkingDays: number | null;
}

/**
 * What is left before a deadline, always counted in the house's working days: `9 working days to spare`,
 * `less than a working day to spare`, `nothing to spare`, `short by 2 working days`; null when it is not known.
 */
export function spareWords({ slackHours, slackWorkingDays }: Spare): string | null {
  if (slackHours === null) return null;
  const days = Math.abs(slackWorkingDays ?? 0);
  if (Math.round(slackHours * 60) === 0) return 'nothing to spare';
  const words = days === 0 ? 'less than a working day' : `${days} working day${days === 1 ? '' : 's'}`;
  return slackHours < 0 ? `short by ${words}` : `${words} to spare`;
}

/** The same by the clock, nights and weekends included, for the hover. */
export const spareByClock = ({ slackHours }: Spare): string | undefined =>
  slackHours === null ? undefined : `${spanWords(slackHours)} by the clock, nights and weekends included`;

function trim(value: number): string {
  return value >= 10 ? String(Math.round(value)) : String(Math.round(value * 10) / 10);
}

/**
 * The value of a `datetime-local` field (no zone) for an instant, in the reader's zone, and back.
 * Empty text stands for no instant.
 */
export function toLocalField(instant: string | null): string {
  if (!instant) return '';
  const at = new Date(instant);
  const shifted = new Date(at.getTime() - at.getTimezoneOffset() * 60_000);
  return shifted.toISOString().slice(0, 16);
}
export function fromLocalField(text: string): string | null {
  if (text === '') return null;
  const at = new Date(text);
  return Number.isNaN(at.getTime()) ? null : at.toISOString();
}
