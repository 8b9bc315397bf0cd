import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { noLongerKept } from './retention.js';

const at = (day: string) => ({ at: new Date(`${day}T03:00:00Z`) });
const sevenAndFour = { keepDaily: 7, keepWeekly: 4 };

describe('which backups are kept', () => {
  it('keeps seven days and the newest of four weeks', () => {
    // 2026-03-01 is a Sunday; nightly for five weeks.
    const made = Array.from({ length: 35 }, (_, back) => ({
      at: new Date(Date.UTC(2026, 2, 1, 3) - back * 86_400_000),
    }));
    const gone = new Set(noLongerKept(made, sevenAndFour));
    const kept = made.filter((each) => !gone.has(each)).map((each) => each.at.toISOString().slice(0, 10));
    expect(kept).toEqual([
      '2026-03-01',
      '2026-02-28',
      '2026-02-27',
      '2026-02-26',
      '2026-02-25',
      '2026-02-24',
      '2026-02-23',
      '2026-02-22',
      '2026-02-15',
      '2026-02-08',
    ]);
  });

  it('keeps old ones while no newer ones are made', () => {
    expect(noLongerKept([at('2020-01-01'), at('2021-01-01')], sevenAndFour)).toEqual([]);
  });

  it('keeps the newest whatever is asked, and never more than asked beside it', () => {
    const days = fc.array(fc.date({ min: new Date(0), max: new Date('2030-01-01'), noInvalidDate: true }), {
      minLength: 1,
      maxLength: 60,
    });
    fc.assert(
      fc.property(days, fc.nat(9), fc.nat(9), (dates, keepDaily, keepWeekly) => {
        const made = dates.map((date) => ({ at: date }));
        const gone = noLongerKept(made, { keepDaily, keepWeekly });
        const newest = Math.max(...dates.map((date) => date.getTime()));
        expect(made.length - gone.length).toBeLessThanOrEqual(Math.max(1, keepDaily + keepWeekly));
        const kept = made.filter((each) => !gone.includes(each));
        expect(Math.max(...kept.map((each) => each.at.getTime()))).toBe(newest);
      }),
    );
  });
});
