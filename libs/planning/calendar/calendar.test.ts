import { describe, expect, it } from 'vitest';
import { carrierDays, deliveredBy, readyBy } from './freight.js';
import { minutesOfDay, openWindows, type OpenWindowsInput } from './openWindows.js';
import { SlotGrid } from './slotGrid.js';
import { longest, normalised, overlap, without } from './windows.js';

const zone = 'Europe/Vienna';
const quarter = 15;

function grid(from: string, days: number): SlotGrid {
  return new SlotGrid(Date.parse(from), quarter, days * 96);
}

/** Open windows as instants. */
function instants(on: SlotGrid, input: OpenWindowsInput): string[] {
  return openWindows(on, input).map(
    ([from, to]) => `${on.iso(from).slice(0, 16)}/${on.iso(to).slice(0, 16)}`,
  );
}

const daily = (from: string, to: string) => [1, 2, 3, 4, 5, 6, 7].map((weekday) => ({ weekday, from, to }));

// Clock changes of 2026 in the European Union: 29 March and 25 October at 01:00 UTC (Directive 2000/84/EC).
describe('working hours', () => {
  it('keep to the wall clock through a change of the clock', () => {
    const on = grid('2026-03-27T00:00:00Z', 5);
    expect(
      instants(on, { zone, hours: [5, 1].map((weekday) => ({ weekday, from: '09:00', to: '12:00' })) }),
    ).toEqual(['2026-03-27T08:00/2026-03-27T11:00', '2026-03-30T07:00/2026-03-30T10:00']);
  });

  it('lose the hour the clock skips and gain the one that comes twice', () => {
    const spring = openWindows(grid('2026-03-28T23:00:00Z', 1), { zone, hours: daily('00:00', '24:00') });
    const autumn = openWindows(grid('2026-10-24T22:00:00Z', 2), {
      zone,
      hours: [{ weekday: 7, from: '00:00', to: '24:00' }],
    });
    expect(spring[0][1] - spring[0][0]).toBe(96);
    const days = grid('2026-03-28T23:00:00Z', 1).civilDays(zone);
    expect((days[0].endMs - days[0].startMs) / 3_600_000).toBe(23);
    expect(autumn[0][1] - autumn[0][0]).toBe(25 * 4);
  });

  it('begin when the clock resumes if their beginning is skipped', () => {
    const on = grid('2026-03-29T00:00:00Z', 1);
    // 02:30 does not exist that night; the clock goes from 02:00 to 03:00 at 01:00 UTC.
    const [window] = instants(on, { zone, hours: [{ weekday: 7, from: '02:30', to: '05:00' }] });
    expect(window).toBe('2026-03-29T01:30/2026-03-29T03:00');
  });

  it('know the leap day', () => {
    const on = grid('2028-02-28T00:00:00Z', 3);
    expect(on.civilDays('UTC').map(({ date }) => date)).toEqual(['2028-02-28', '2028-02-29', '2028-03-01']);
    expect(instants(on, { zone: 'UTC', hours: [{ weekday: 2, from: '09:00', to: '10:00' }] })).toEqual([
      '2028-02-29T09:00/2028-02-29T10:00',
    ]);
  });

  it('leave out holidays and travel, rounding inwards', () => {
    const on = grid('2026-05-01T00:00:00Z', 4);
    const closed = [{ from: '2026-05-04T08:10:00Z', to: '2026-05-04T08:40:00Z' }];
    const hours = [5, 1].map((weekday) => ({ weekday, from: '09:07', to: '12:00' }));
    expect(instants(on, { zone, hours, holidays: ['2026-05-01'], closed })).toEqual([
      '2026-05-04T07:15/2026-05-04T08:00',
      '2026-05-04T08:45/2026-05-04T10:00',
    ]);
  });

  it('of two zones overlap only where both work', () => {
    const on = grid('2026-03-16T00:00:00Z', 1);
    const vienna = openWindows(on, { zone, hours: daily('09:00', '18:00') });
    const newYork = openWindows(on, { zone: 'America/New_York', hours: daily('09:00', '17:00') });
    // That week New York has changed its clock and Vienna has not: five hours apart.
    const both = overlap(vienna, newYork).filter(([from]) => on.iso(from) > '2026-03-16T05');
    expect(both.map(([from, to]) => [on.iso(from).slice(11, 16), on.iso(to).slice(11, 16)])).toEqual([
      ['13:00', '17:00'],
    ]);
  });

  it.each([
    ['09:30', 570],
    ['24:00', 1440],
    ['24:15', NaN],
    ['9h', NaN],
    ['10:60', NaN],
  ])('read %s', (clock, minutes) => {
    expect(minutesOfDay(clock)).toBe(minutes);
  });
});

describe('stretches of time', () => {
  it('are joined, cut and overlapped', () => {
    expect(
      normalised([
        [5, 7],
        [0, 2],
        [2, 4],
        [6, 9],
        [3, 3],
      ]),
    ).toEqual([
      [0, 4],
      [5, 9],
    ]);
    expect(
      without(
        [
          [0, 10],
          [12, 20],
        ],
        [
          [2, 3],
          [9, 13],
          [19, 30],
        ],
      ),
    ).toEqual([
      [0, 2],
      [3, 9],
      [13, 19],
    ]);
    expect(
      overlap(
        [
          [0, 5],
          [8, 12],
        ],
        [
          [3, 9],
          [11, 20],
        ],
      ),
    ).toEqual([
      [3, 5],
      [8, 9],
      [11, 12],
    ]);
    expect(
      longest([
        [0, 2],
        [5, 9],
      ]),
    ).toBe(4);
    expect(longest([])).toBe(0);
  });
});

describe('freight', () => {
  const on = grid('2026-03-16T00:00:00Z', 14);
  const open = openWindows(on, {
    zone: 'UTC',
    hours: [1, 2, 3, 4, 5].map((weekday) => ({ weekday, from: '09:00', to: '17:00' })),
    holidays: ['2026-03-18'],
  });
  const carrier = carrierDays(on, 'UTC', open);
  const at = (text: string): number => on.atOrAfter(Date.parse(`${text}Z`));

  it('counts the days on which the carrier works', () => {
    // Ready Tuesday noon, collected that day; Wednesday is a holiday; Thursday, Friday: two days.
    expect(on.iso(deliveredBy(carrier, at('2026-03-17T12:00'), 2))).toBe('2026-03-20T17:00:00.000Z');
    // Ready after closing time: collected on the next carrier day.
    expect(on.iso(deliveredBy(carrier, at('2026-03-20T17:15'), 1))).toBe('2026-03-24T17:00:00.000Z');
    expect(deliveredBy(carrier, at('2026-03-17T12:00'), 0)).toBe(at('2026-03-17T12:00'));
  });

  it('tells the latest ready time, and the two agree', () => {
    expect(on.iso(readyBy(carrier, at('2026-03-20T18:00'), 2))).toBe('2026-03-17T17:00:00.000Z');
    for (let deliverBy = at('2026-03-20T00:00'); deliverBy < at('2026-03-28T00:00'); deliverBy += 7) {
      const ready = readyBy(carrier, deliverBy, 2);
      expect(deliveredBy(carrier, ready, 2)).toBeLessThanOrEqual(deliverBy);
      expect(deliveredBy(carrier, ready + 1, 2)).toBeGreaterThan(deliverBy);
    }
  });
});
