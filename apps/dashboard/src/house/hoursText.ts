/** Weekly hours as people type them: one line a weekday, `09:00-12:30, 13:30-18:00`, empty when closed. */
import type { WeeklyHours } from '../contracts.js';

export const weekdays = [
  'Monday',
  'Tuesday',
  'Wednesday',
  'Thursday',
  'Friday',
  'Saturday',
  'Sunday',
] as const;
const short = weekdays.map((name) => name.slice(0, 3));

/** What stands while a house says nothing else. */
export const usualHours: readonly WeeklyHours[] = [1, 2, 3, 4, 5].map((weekday) => ({
  weekday,
  from: '09:00',
  to: '18:00',
}));

/** Seven lines, Monday first. */
export type HoursLines = readonly string[];

export function linesOf(hours: readonly WeeklyHours[]): string[] {
  return weekdays.map((_, at) =>
    hours
      .filter(({ weekday }) => weekday === at + 1)
      .sort((a, b) => a.from.localeCompare(b.from))
      .map(({ from, to }) => `${from}-${to}`)
      .join(', '),
  );
}

export const HOURS_HINT = 'Such as 09:00-18:00, or 09:00-12:30, 13:30-18:00.';

/** The hours the lines say; `wrong` has a message for each line that says none. */
export function hoursOf(lines: HoursLines): { hours: WeeklyHours[]; wrong: (string | undefined)[] } {
  const read = lines.map((line, at) => readLine(line, at + 1));
  return {
    hours: read.flatMap((one) => (typeof one === 'string' ? [] : one)),
    wrong: read.map((one) => (typeof one === 'string' ? one : undefined)),
  };
}

function readLine(line: string, weekday: number): WeeklyHours[] | string {
  if (line.trim() === '') return [];
  const spans: WeeklyHours[] = [];
  for (const part of line.split(',')) {
    const match = /^\s*(\d{1,2})(?::(\d{2}))?\s*(?:-|–|to)\s*(\d{1,2})(?::(\d{2}))?\s*$/.exec(part);
    const from = match && clock(match[1], match[2]);
    const to = match && clock(match[3], match[4]);
    if (!from || !to) return HOURS_HINT;
    if (from >= to) return `${from}-${to} ends before it begins; a night is split at 24:00.`;
    const before = spans.at(-1);
    if (before && from < before.to) return 'These overlap.';
    spans.push({ weekday, from, to });
  }
  return spans;
}

function clock(hour: string | undefined, minute = '00'): string | null {
  const h = Number(hour);
  const m = Number(minute);
  if (h > 24 || m > 59 || (h === 24 && m > 0)) return null;
  return `${String(h).padStart(2, '0')}:${minute}`;
}

/** `Mon to Fri 09:00-18:00; Sat 10:00-14:00`. */
export function hoursWords(hours: readonly WeeklyHours[]): string {
  const lines = linesOf(hours);
  const runs: { from: number; to: number; line: string }[] = [];
  lines.forEach((line, at) => {
    const last = runs.at(-1);
    if (last && last.line === line && last.to === at - 1) last.to = at;
    else runs.push({ from: at, to: at, line });
  });
  const said = runs
    .filter(({ line }) => line !== '')
    .map(({ from, to, line }) => {
      const days =
        from === to
          ? short[from]
          : `${short[from] ?? ''}${to === from + 1 ? ' and ' : ' to '}${short[to] ?? ''}`;
      return `${days ?? ''} ${line}`;
    });
  return said.length === 0 ? 'never' : said.join('; ');
}
