/** Busy times from an iCalendar file (RFC 5545): events and free/busy periods, repetitions worked out. */
import ICAL from 'ical.js';
import { DateTime, IANAZone } from 'luxon';
import { CalendarRefused, contentLines, lineOf, partLines, type ContentLine } from './contentLines.js';

export interface BusySpan {
  readonly start: Date;
  readonly finish: Date;
}
export interface BusyTimes {
  /** In order, joined where they touch. */
  readonly spans: readonly BusySpan[];
  /** Events that take no time or are cancelled, and why each was left out. */
  readonly passedOver: readonly { readonly line: number; readonly why: string }[];
}
export interface BusyTimesInput {
  readonly text: string;
  /** Of times that name no zone, and of whole days. */
  readonly zone: string;
  readonly from: Date;
  readonly to: Date;
}

const MOST_EVENTS = 5000;
const MOST_REPETITIONS = 20_000;
const MOST_SPANS = 5000;
const PASSED_OVER_SAID = 50;

/** @throws CalendarRefused naming the line */
export function readBusyTimes(input: BusyTimesInput): BusyTimes {
  const lines = contentLines(input.text);
  const calendar = parse(lines);
  const reading: Reading = { input, spans: [], passedOver: [], repetitions: 0 };
  const events = calendar.getAllSubcomponents('vevent');
  const eventLines = partLines(lines, 'VEVENT');
  if (events.length > MOST_EVENTS) {
    throw new CalendarRefused(eventLines[MOST_EVENTS]?.[0]?.line ?? 1, `More than ${MOST_EVENTS} events.`);
  }
  const lineOfEvent = new Map(events.map((event, at) => [event, eventLines[at] ?? []]));
  for (const event of events) {
    const own = lineOfEvent.get(event) ?? [];
    readable(own, () => readEvent(reading, event, events, own));
  }
  const freeBusyLines = partLines(lines, 'VFREEBUSY');
  calendar.getAllSubcomponents('vfreebusy').forEach((part, at) => {
    const own = freeBusyLines[at] ?? [];
    readable(own, () => readFreeBusy(reading, part, own));
  });
  const spans = joined(reading.spans);
  if (spans.length > MOST_SPANS)
    throw new CalendarRefused(1, `More than ${MOST_SPANS} busy times: choose a smaller calendar.`);
  return { spans, passedOver: reading.passedOver.slice(0, PASSED_OVER_SAID) };
}

/** Whatever the library finds wrong inside a part is said with the line the part begins on. */
function readable(lines: readonly ContentLine[], read: () => void): void {
  try {
    read();
  } catch (error) {
    if (error instanceof CalendarRefused) throw error;
    throw new CalendarRefused(lines[0]?.line ?? 1, `Cannot be understood: ${(error as Error).message}`);
  }
}

interface Reading {
  readonly input: BusyTimesInput;
  readonly spans: BusySpan[];
  readonly passedOver: { line: number; why: string }[];
  repetitions: number;
}

function parse(lines: readonly ContentLine[]): ICAL.Component {
  // Line by line first: the parser does not say where it stumbled.
  for (const line of lines) insistOnProperty(line);
  try {
    const parsed = ICAL.parse(lines.map(({ text }) => text).join('\r\n')) as unknown[];
    // Several calendars in one file come as a list of them.
    const first = Array.isArray(parsed[0]) ? parsed[0] : parsed;
    return new ICAL.Component(first as never);
  } catch (error) {
    throw new CalendarRefused(1, `The calendar cannot be read: ${(error as Error).message}`);
  }
}

const TIMES = ['dtstart', 'dtend', 'recurrence-id', 'exdate', 'rdate'];

function insistOnProperty({ line, text }: ContentLine): void {
  if (/^(BEGIN|END):/i.test(text)) return;
  try {
    const property = ICAL.Property.fromString(text);
    property.getValues();
    if (!TIMES.includes(property.name)) return;
    const [, , type, ...values] = property.toJSON() as unknown as [string, object, string, ...unknown[]];
    for (const value of values.flat()) {
      // The days of a month are counted here: the parser rolls the 31st of February over into March.
      if (type !== 'period' && !DateTime.fromISO(String(value), { zone: 'utc' }).isValid)
        throw new Error('there is no such day or time');
    }
  } catch (error) {
    throw new CalendarRefused(line, `“${text.slice(0, 40)}” cannot be read: ${(error as Error).message}`);
  }
}

function readEvent(
  reading: Reading,
  component: ICAL.Component,
  all: readonly ICAL.Component[],
  lines: readonly ContentLine[],
): void {
  const say = (why: string) => reading.passedOver.push({ line: lines[0]?.line ?? 1, why });
  const word = (name: string) => String(component.getFirstPropertyValue(name) ?? '').toUpperCase();
  // A changed repetition is read with the event it belongs to.
  if (component.hasProperty('recurrence-id') && masterOf(component, all)) return;
  if (word('status') === 'CANCELLED') return void say('It is cancelled.');
  if (word('transp') === 'TRANSPARENT') return void say('It is marked as taking no time.');
  insistOnTimes(component, lines);
  const zone = zoneOf(component, reading.input.zone, lines);
  const event = new ICAL.Event(component, {
    strictExceptions: true,
    exceptions: exceptionsOf(component, all),
  });
  if (!event.isRecurring()) {
    add(reading, toDate(event.startDate, zone), toDate(event.endDate, zone), say);
    return;
  }
  insistOnCalmRule(component, lines);
  repeat(reading, event, zone, lines);
}

const uid = (component: ICAL.Component): string => String(component.getFirstPropertyValue('uid') ?? '');
const masterOf = (exception: ICAL.Component, all: readonly ICAL.Component[]): ICAL.Component | undefined =>
  all.find((other) => uid(other) === uid(exception) && !other.hasProperty('recurrence-id'));
const exceptionsOf = (master: ICAL.Component, all: readonly ICAL.Component[]): ICAL.Component[] =>
  all.filter((other) => other !== master && uid(other) === uid(master) && other.hasProperty('recurrence-id'));

function repeat(reading: Reading, event: ICAL.Event, zone: Zone, lines: readonly ContentLine[]): void {
  const iterator = event.iterator();
  const { from, to } = reading.input;
  const ruleLine = lineOf(lines, 'RRULE');
  for (let next = iterator.next() as ICAL.Time | null; next; next = iterator.next() as ICAL.Time | null) {
    reading.repetitions += 1;
    if (reading.repetitions > MOST_REPETITIONS)
      throw new CalendarRefused(
        ruleLine,
        `Its repetitions and those before are more than ${MOST_REPETITIONS}.`,
      );
    const { startDate, endDate, item } = event.getOccurrenceDetails(next);
    if (toDate(next, zone) > to) return;
    const own = item.component;
    const status = String(own.getFirstPropertyValue('status') ?? '').toUpperCase();
    const transparent = String(own.getFirstPropertyValue('transp') ?? '').toUpperCase() === 'TRANSPARENT';
    if (status === 'CANCELLED' || transparent) continue;
    const ownZone = own === event.component ? zone : zoneOf(own, reading.input.zone, lines);
    const finish = toDate(endDate, ownZone);
    if (finish > from) add(reading, toDate(startDate, ownZone), finish, () => undefined);
  }
}

function add(reading: Reading, start: Date, finish: Date, say: (why: string) => void): void {
  const { from, to } = reading.input;
  if (!(start < finish)) return say('It takes no time.');
  if (finish > from && start < to) reading.spans.push({ start, finish });
}

/** Every two seconds for ever is no appointment. */
function insistOnCalmRule(component: ICAL.Component, lines: readonly ContentLine[]): void {
  for (const rule of component.getAllProperties('rrule')) {
    const { freq } = rule.getFirstValue() as unknown as { freq: string };
    if (!['HOURLY', 'DAILY', 'WEEKLY', 'MONTHLY', 'YEARLY'].includes(freq)) {
      throw new CalendarRefused(
        lineOf(lines, 'RRULE'),
        `Repeats ${freq.toLowerCase()}: at most hourly repetitions are read.`,
      );
    }
  }
}

function insistOnTimes(component: ICAL.Component, lines: readonly ContentLine[]): void {
  if (!component.hasProperty('dtstart'))
    throw new CalendarRefused(lineOf(lines, 'DTSTART'), 'The event has no start (DTSTART).');
  for (const name of ['dtstart', 'dtend', 'recurrence-id']) {
    const value: unknown = component.getFirstPropertyValue(name);
    if (value !== null && !(value instanceof ICAL.Time))
      throw new CalendarRefused(lineOf(lines, name), `${name.toUpperCase()} is no date and time.`);
  }
  if (component.hasProperty('dtend') && component.hasProperty('duration'))
    throw new CalendarRefused(lineOf(lines, 'DURATION'), 'The event has both an end and a duration.');
}

/** How wall-clock times of an event become instants. */
type Zone =
  | { readonly kind: 'named'; readonly zone: string; readonly whole: string }
  | { readonly kind: 'own'; readonly whole: string };

function zoneOf(component: ICAL.Component, houseZone: string, lines: readonly ContentLine[]): Zone {
  const tzid = component.getFirstProperty('dtstart')?.getFirstParameter('tzid') ?? '';
  if (tzid === '') return { kind: 'named', zone: houseZone, whole: houseZone };
  // A name everybody knows goes before what the file itself says of it.
  const known = tzid.replace(/^\/[^/]*\//, '');
  if (IANAZone.isValidZone(known)) return { kind: 'named', zone: known, whole: houseZone };
  if (component.getTimeZoneByID(tzid)) return { kind: 'own', whole: houseZone };
  throw new CalendarRefused(
    lineOf(lines, 'DTSTART'),
    `“${tzid.slice(0, 60)}” is no known time zone, and the file does not describe it (VTIMEZONE).`,
  );
}

function toDate(time: ICAL.Time, zone: Zone): Date {
  const { year, month, day, hour, minute, second } = time;
  if (time.isDate) return DateTime.fromObject({ year, month, day }, { zone: zone.whole }).toJSDate();
  if (time.zone === ICAL.Timezone.utcTimezone) return time.toJSDate();
  if (zone.kind === 'own') return new Date(time.toUnixTime() * 1000);
  const parts = { year, month, day, hour, minute, second: Math.min(second, 59) };
  return DateTime.fromObject(parts, { zone: zone.zone }).toJSDate();
}

function readFreeBusy(reading: Reading, component: ICAL.Component, lines: readonly ContentLine[]): void {
  for (const property of component.getAllProperties('freebusy')) {
    const kind = property.getFirstParameter('fbtype') ?? 'BUSY';
    if (kind.toUpperCase() === 'FREE') continue;
    for (const period of property.getValues() as unknown[]) {
      if (!(period instanceof ICAL.Period))
        throw new CalendarRefused(lineOf(lines, 'FREEBUSY'), 'FREEBUSY holds periods such as START/END.');
      const zone: Zone = { kind: 'named', zone: 'utc', whole: 'utc' };
      add(reading, toDate(period.start, zone), toDate(period.getEnd(), zone), () => undefined);
    }
  }
}

function joined(spans: readonly BusySpan[]): BusySpan[] {
  const sorted = [...spans].sort((a, b) => a.start.getTime() - b.start.getTime());
  const all: { start: Date; finish: Date }[] = [];
  for (const span of sorted) {
    const last = all.at(-1);
    if (last && span.start <= last.finish) {
      if (span.finish > last.finish) last.finish = span.finish;
    } else all.push({ ...span });
  }
  return all;
}
