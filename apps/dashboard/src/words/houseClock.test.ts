import { describe, expect, it } from 'vitest';
import {
  addDays,
  clockOf,
  fromHouseField,
  instantAt,
  mondayOf,
  movedBy,
  timeOfDay,
  toHouseField,
  wallClock,
} from './houseClock.js';

const berlin = 'Europe/Berlin';

describe('the clock of the house', () => {
  it('finds the Monday of any day, across months and years', () => {
    expect(mondayOf('2026-11-25')).toBe('2026-11-23');
    expect(mondayOf('2026-11-23')).toBe('2026-11-23');
    expect(mondayOf('2027-01-03')).toBe('2026-12-28');
    expect(addDays('2028-02-28', 1)).toBe('2028-02-29');
  });
  it('keeps the time of day when the clocks are changed (last Sundays of March and October)', () => {
    const saturday = instantAt({ day: '2026-03-28', minute: 10 * 60 }, berlin);
    expect(saturday).toBe('2026-03-28T09:00:00.000Z');
    expect(movedBy(saturday, { days: 1 }, berlin)).toBe('2026-03-29T08:00:00.000Z');
    const autumn = instantAt({ day: '2026-10-24', minute: 10 * 60 }, berlin);
    expect(wallClock(movedBy(autumn, { days: 1 }, berlin), berlin)).toEqual({
      day: '2026-10-25',
      minute: 600,
    });
  });
  it('puts a time that spring skips an hour later', () => {
    expect(timeOfDay(instantAt({ day: '2026-03-29', minute: 150 }, berlin), berlin)).toBe('03:30');
  });
  it('reads and writes fields on its own clock, not the reader’s', () => {
    expect(toHouseField('2026-06-03T23:30:00Z', berlin)).toBe('2026-06-04T01:30');
    expect(fromHouseField('2026-06-04T01:30', berlin)).toBe('2026-06-03T23:30:00.000Z');
    expect(fromHouseField('', berlin)).toBeNull();
    expect(toHouseField(null, berlin)).toBe('');
  });
  it('says the end of the day', () => expect(clockOf(1440)).toBe('24:00'));
});
