/** The lines of an iCalendar text (RFC 5545 section 3.1), unfolded, with where each began: so that errors can say it. */

export interface ContentLine {
  /** 1, 2, ... in the file. */
  readonly line: number;
  readonly text: string;
}

export class CalendarRefused extends Error {
  readonly code = 'calendar-refused';
  readonly line: number;
  constructor(line: number, message: string) {
    super(`Line ${line}: ${message}`);
    this.line = line;
  }
}

const MOST_LINES = 100_000;
const LONGEST_LINE = 20_000;
const DEEPEST = 5;

/** @throws CalendarRefused naming the line for whatever is no well-formed calendar */
export function contentLines(text: string): ContentLine[] {
  const raw = text.replace(/^\uFEFF/, '').split(/\r\n|\n|\r/);
  if (raw.length > MOST_LINES) throw new CalendarRefused(MOST_LINES, `More than ${MOST_LINES} lines.`);
  const lines: { line: number; text: string }[] = [];
  raw.forEach((part, index) => {
    const last = lines.at(-1);
    if (/^[ \t]/.test(part) && last) last.text += part.slice(1);
    else if (part !== '') lines.push({ line: index + 1, text: part });
    const grown = lines.at(-1);
    if (grown && grown.text.length > LONGEST_LINE)
      throw new CalendarRefused(grown.line, `Longer than ${LONGEST_LINE} characters.`);
  });
  insistOnShape(lines);
  return lines;
}

function insistOnShape(lines: readonly ContentLine[]): void {
  const [first] = lines;
  if (first?.text.toUpperCase() !== 'BEGIN:VCALENDAR')
    throw new CalendarRefused(first?.line ?? 1, 'A calendar file begins with BEGIN:VCALENDAR.');
  const open: string[] = [];
  for (const { line, text } of lines) {
    const [, name = '', value = ''] = /^([A-Za-z0-9-]+)(?:;[^:]*)?:(.*)$/.exec(text) ?? [];
    if (!/^[A-Za-z0-9-]+[;:]/.test(text))
      throw new CalendarRefused(line, `“${text.slice(0, 40)}” is no property: expected NAME:VALUE.`);
    if (name.toUpperCase() === 'BEGIN') {
      open.push(value.toUpperCase());
      if (open.length > DEEPEST) throw new CalendarRefused(line, 'Parts are nested too deeply.');
    } else if (name.toUpperCase() === 'END') {
      const closes = open.pop();
      if (closes !== value.toUpperCase())
        throw new CalendarRefused(line, `END:${value.slice(0, 40)} closes ${closes ?? 'nothing'}.`);
    } else if (open.length === 0) {
      throw new CalendarRefused(line, 'Stands outside the calendar.');
    }
  }
  if (open.length > 0) {
    throw new CalendarRefused(
      lines.at(-1)?.line ?? 1,
      `The file ends inside ${open.at(-1) ?? ''}: it is cut off.`,
    );
  }
}

/** For each VEVENT or VFREEBUSY in the order of the file: its lines. */
export function partLines(lines: readonly ContentLine[], part: string): ContentLine[][] {
  const parts: ContentLine[][] = [];
  let inside: ContentLine[] | undefined;
  for (const line of lines) {
    const upper = line.text.toUpperCase();
    if (upper === `BEGIN:${part}`) parts.push((inside = [line]));
    else if (upper === `END:${part}`) inside = undefined;
    else inside?.push(line);
  }
  return parts;
}

/** The line of a property in a part; that of the part when it has none. */
export const lineOf = (part: readonly ContentLine[], property: string): number =>
  (part.find(({ text }) => new RegExp(`^${property}[;:]`, 'i').test(text)) ?? part[0])?.line ?? 1;
