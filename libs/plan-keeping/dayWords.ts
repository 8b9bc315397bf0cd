import { DateTime } from 'luxon';

/**
 * A calendar day in a sentence; the year only when it is another one than today's.
 *
 * @example dayWords('2026-12-03', '2026-11-25') // Thu 3 Dec
 */
export function dayWords(day: string, today: string): string {
  const format = day.slice(0, 4) === today.slice(0, 4) ? 'ccc d LLL' : 'ccc d LLL yyyy';
  return DateTime.fromISO(day, { zone: 'utc', locale: 'en-GB' }).toFormat(format);
}
