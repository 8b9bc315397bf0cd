import { describe, expect, it } from 'vitest';
import {
  clockWords,
  dayInZone,
  dayNumber,
  dayOf,
  dayWords,
  relativeDays,
  relativeInstant,
  shortDay,
  spanWords,
  spareWords,
} from './dates.js';

describe('days', () => {
  it('numbers days so that differences are days, over a leap day and a clock change', () => {
    expect(dayNumber('2028-03-01') - dayNumber('2028-02-28')).toBe(2);
    expect(dayNumber('2026-03-30') - dayNumber('2026-03-28')).toBe(2);
    expect(dayOf(dayNumber('2026-12-31') + 1)).toBe('2027-01-01');
    expect(dayNumber('soon')).toBeNaN();
  });
  it('says the year only when it is another one', () => {
    expect(shortDay('2026-03-04', '2026-01-01')).toBe('Wed 4 Mar');
    expect(shortDay('2027-03-04', '2026-01-01')).toBe('Thu 4 Mar 2027');
  });
  it.each([
    [0, 'today'],
    [1, 'tomorrow'],
    [-1, 'yesterday'],
    [5, 'in 5 days'],
    [-20, '20 days ago'],
    [21, 'in 3 weeks'],
    [-90, '3 months ago'],
  ])('%i days are %s', (days, words) => expect(relativeDays(days)).toBe(words));
  it('gives both the day and the distance', () => {
    expect(dayWords('2026-03-20', '2026-03-14')).toBe('Fri 20 Mar, in 6 days');
  });
});

describe('instants', () => {
  const late = '2026-03-04T23:30:00Z';
  it('fall on the day of the reader’s zone', () => {
    expect(dayInZone(new Date(late), 'Europe/Berlin')).toBe('2026-03-05');
    expect(dayInZone(new Date(late), 'America/New_York')).toBe('2026-03-04');
    expect(clockWords(late, '2026-03-04', 'Europe/Berlin')).toBe('Thu 5 Mar, 00:30');
  });
  it('count calendar days, not 24 hours', () => {
    const now = new Date('2026-03-04T08:00:00Z');
    expect(relativeInstant('2026-03-05T21:00:00Z', now, 'UTC')).toBe('tomorrow');
    expect(relativeInstant('2026-03-04T07:59:40Z', now, 'UTC')).toBe('just now');
    expect(relativeInstant('2026-03-04T07:15:00Z', now, 'UTC')).toBe('45 minutes ago');
    expect(relativeInstant('2026-03-04T09:00:00Z', now, 'UTC')).toBe('in 1 hour');
  });
  it.each([
    [0.5, '30 min'],
    [6, '6 h'],
    [60, '2.5 days'],
    [-30, '\u221230 h'],
  ])('%d hours of slack are %s', (hours, words) => expect(spanWords(hours)).toBe(words));
  it.each([
    [312, 9, '9 working days to spare'],
    [24, 1, '1 working day to spare'],
    [6, 0, 'less than a working day to spare'],
    [0.001, 0, 'nothing to spare'],
    [-6, 0, 'short by less than a working day'],
    [-72, -2, 'short by 2 working days'],
    [null, null, null],
  ])('%s hours with %s working days before a latest start are %s', (slackHours, slackWorkingDays, words) =>
    expect(spareWords({ slackHours, slackWorkingDays })).toBe(words),
  );
});
