import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { CalendarRefused } from './contentLines.js';
import { readBusyTimes } from './readBusyTimes.js';

const zone = 'Europe/Berlin';
const from = new Date('2026-03-01T00:00:00Z');
const to = new Date('2026-06-01T00:00:00Z');
const file = (...lines: string[]) =>
  ['BEGIN:VCALENDAR', 'VERSION:2.0', ...lines, 'END:VCALENDAR', ''].join('\r\n');
const event = (...lines: string[]) => file('BEGIN:VEVENT', 'UID:one@example.org', ...lines, 'END:VEVENT');
const read = (text: string) => readBusyTimes({ text, zone, from, to });
const spans = (text: string) =>
  read(text).spans.map(({ start, finish }) => `${start.toISOString()} ${finish.toISOString()}`);
const refusal = (text: string): CalendarRefused => {
  try {
    read(text);
  } catch (error) {
    if (error instanceof CalendarRefused) return error;
    throw error;
  }
  throw new Error('It was not refused.');
};

describe('busy times from a calendar file', () => {
  it('reads UTC, named zones, floating times and whole days', () => {
    expect(spans(event('DTSTART:20260310T090000Z', 'DTEND:20260310T100000Z'))).toEqual([
      '2026-03-10T09:00:00.000Z 2026-03-10T10:00:00.000Z',
    ]);
    expect(spans(event('DTSTART;TZID=America/New_York:20260310T090000', 'DURATION:PT90M'))).toEqual([
      '2026-03-10T13:00:00.000Z 2026-03-10T14:30:00.000Z',
    ]);
    expect(spans(event('DTSTART:20260310T090000', 'DTEND:20260310T100000'))).toEqual([
      '2026-03-10T08:00:00.000Z 2026-03-10T09:00:00.000Z',
    ]);
    // The day the clock goes forward in Berlin has 23 hours.
    expect(spans(event('DTSTART;VALUE=DATE:20260329'))).toEqual([
      '2026-03-28T23:00:00.000Z 2026-03-29T22:00:00.000Z',
    ]);
  });

  it('keeps a weekly appointment at its hour on the wall across a clock change, without its exceptions', () => {
    const weekly = event(
      'DTSTART;TZID=Europe/Berlin:20260320T100000',
      'DTEND;TZID=Europe/Berlin:20260320T110000',
      'RRULE:FREQ=WEEKLY;COUNT=4',
      'EXDATE;TZID=Europe/Berlin:20260327T100000',
    );
    expect(spans(weekly)).toEqual([
      '2026-03-20T09:00:00.000Z 2026-03-20T10:00:00.000Z',
      '2026-04-03T08:00:00.000Z 2026-04-03T09:00:00.000Z',
      '2026-04-10T08:00:00.000Z 2026-04-10T09:00:00.000Z',
    ]);
  });

  it('moves a changed repetition and drops a cancelled one', () => {
    const text = file(
      'BEGIN:VEVENT',
      'UID:a',
      'DTSTART:20260310T090000Z',
      'DTEND:20260310T100000Z',
      'RRULE:FREQ=DAILY;COUNT=3',
      'END:VEVENT',
      'BEGIN:VEVENT',
      'UID:a',
      'RECURRENCE-ID:20260311T090000Z',
      'DTSTART:20260311T150000Z',
      'DTEND:20260311T160000Z',
      'END:VEVENT',
      'BEGIN:VEVENT',
      'UID:a',
      'RECURRENCE-ID:20260312T090000Z',
      'DTSTART:20260312T090000Z',
      'DTEND:20260312T100000Z',
      'STATUS:CANCELLED',
      'END:VEVENT',
    );
    expect(spans(text)).toEqual([
      '2026-03-10T09:00:00.000Z 2026-03-10T10:00:00.000Z',
      '2026-03-11T15:00:00.000Z 2026-03-11T16:00:00.000Z',
    ]);
  });

  it('uses a zone the file describes itself, joins what overlaps, reads free/busy periods', () => {
    const own = file(
      'BEGIN:VTIMEZONE',
      'TZID:House time',
      'BEGIN:STANDARD',
      'DTSTART:19700101T000000',
      'TZOFFSETFROM:+0300',
      'TZOFFSETTO:+0300',
      'END:STANDARD',
      'END:VTIMEZONE',
      'BEGIN:VEVENT',
      'UID:b',
      'DTSTART;TZID=House time:20260310T120000',
      'DTEND;TZID=House time:20260310T130000',
      'END:VEVENT',
      'BEGIN:VFREEBUSY',
      'FREEBUSY;FBTYPE=BUSY:20260310T093000Z/PT1H,20260311T000000Z/20260311T010000Z',
      'FREEBUSY;FBTYPE=FREE:20260312T000000Z/20260312T010000Z',
      'END:VFREEBUSY',
    );
    expect(spans(own)).toEqual([
      '2026-03-10T09:00:00.000Z 2026-03-10T10:30:00.000Z',
      '2026-03-11T00:00:00.000Z 2026-03-11T01:00:00.000Z',
    ]);
  });

  it('passes over what takes no time, and says so', () => {
    const { spans: none, passedOver } = read(
      event('DTSTART:20260310T090000Z', 'DTEND:20260310T100000Z', 'TRANSP:TRANSPARENT'),
    );
    expect(none).toEqual([]);
    expect(passedOver).toEqual([{ line: 3, why: 'It is marked as taking no time.' }]);
  });

  it.each([
    ['no calendar', 'hello', 1, 'BEGIN:VCALENDAR'],
    ['cut off', 'BEGIN:VCALENDAR\r\nBEGIN:VEVENT\r\nUID:a', 3, 'cut off'],
    ['crossed parts', 'BEGIN:VCALENDAR\r\nBEGIN:VEVENT\r\nEND:VCALENDAR', 3, 'closes VEVENT'],
    ['no property', event('DTSTART:20260310T090000Z', 'what is this'), 6, 'no property'],
    ['no start', event('SUMMARY:x'), 3, 'no start'],
    ['an impossible day', event('DTSTART:20260231T090000Z'), 5, 'DTSTART'],
    ['words for a time', event('DTSTART:tomorrow'), 5, 'DTSTART'],
    ['an unknown zone', event('DTSTART;TZID=Nowhere/Else:20260310T090000'), 5, 'time zone'],
    ['a rule every second', event('DTSTART:20260310T090000Z', 'RRULE:FREQ=SECONDLY'), 6, 'secondly'],
    ['a rule that is none', event('DTSTART:20260310T090000Z', 'RRULE:FREQ=SOMETIMES'), 6, 'RRULE'],
    [
      'hourly since long ago',
      event('DTSTART:19000101T090000Z', 'DURATION:PT1M', 'RRULE:FREQ=HOURLY'),
      7,
      'repetitions',
    ],
  ])('refuses %s with its line', (_name, text, line, words) => {
    const refused = refusal(text);
    expect(refused.line).toBe(line);
    expect(refused.message).toContain(words);
  });

  it('refuses or reads whatever comes, and never fails otherwise', () => {
    const piece = fc.oneof(
      fc.constantFrom(
        'BEGIN:VEVENT',
        'END:VEVENT',
        'UID:x',
        'DTSTART:20260310T090000Z',
        'DTSTART;VALUE=DATE:20260310',
        'DTEND:20260310T100000Z',
        'DURATION:-PT1H',
        'RRULE:FREQ=WEEKLY;INTERVAL=0',
        'RRULE:FREQ=YEARLY;BYMONTH=13',
        'RDATE:20260311T090000Z',
        'RECURRENCE-ID:20260310T090000Z',
        'EXDATE:x',
      ),
      fc.string({ maxLength: 30 }),
    );
    fc.assert(
      fc.property(fc.array(piece, { maxLength: 12 }), (lines) => {
        try {
          read(file(...lines));
        } catch (error) {
          if (!(error instanceof CalendarRefused)) throw error;
        }
      }),
      { numRuns: 500, seed: 7 },
    );
  });
});
