import { describe, expect, it } from 'vitest';
import type { BookingView, CalendarRow } from '../contracts.js';
import { closedOf, common, daysOf, hoursShown, lanesOf, piecesOn, snapped, stretchOn } from './weekLayout.js';

const zone = 'Europe/Berlin';
const booking = (part: Partial<BookingView>): BookingView =>
  ({
    id: 'b',
    people: [{ id: 'mira', name: 'Mira' }],
    place: { id: 'rig', name: 'the rig' },
    start: '2026-06-02T07:00:00Z',
    finish: '2026-06-02T11:00:00Z',
    ...part,
  }) as BookingView;
const rows = [
  { id: 'person:mira', kind: 'person', name: 'Mira' },
  { id: 'place:rig', kind: 'place', name: 'the rig' },
] as CalendarRow[];

describe('a week in lanes', () => {
  it('has a lane for each place or person, or one alone', () => {
    expect(lanesOf({ rows, bookings: [] }, 'places').map(({ name }) => name)).toEqual(['Rig']);
    expect(lanesOf({ rows, bookings: [] }, 'people').map(({ name }) => name)).toEqual(['Mira']);
    expect(lanesOf({ rows, bookings: [] }, 'place:rig').map(({ id }) => id)).toEqual(['place:rig']);
  });
  it('puts a booking on the house’s day and hour', () => {
    const lanes = lanesOf({ rows, bookings: [] }, 'places');
    expect(piecesOn('2026-06-02', [booking({})], lanes, zone)).toMatchObject([
      { lane: 0, from: 540, to: 780, column: 0, columns: 1 },
    ]);
    expect(piecesOn('2026-06-03', [booking({})], lanes, zone)).toEqual([]);
  });
  it('cuts what goes over midnight, and shows nothing of what ends on it', () => {
    const night = { from: '2026-06-02T20:00:00Z', to: '2026-06-03T04:00:00Z' };
    expect(stretchOn('2026-06-02', night, zone)).toEqual({ from: 1320, to: 1440 });
    expect(stretchOn('2026-06-03', night, zone)).toEqual({ from: 0, to: 360 });
    const evening = { from: '2026-06-02T18:00:00Z', to: '2026-06-02T22:00:00Z' };
    expect(stretchOn('2026-06-03', evening, zone)).toBeNull();
  });
  it('sets side by side what is at the same time in one lane', () => {
    const lanes = lanesOf({ rows, bookings: [] }, 'places');
    const other = booking({ id: 'c', start: '2026-06-02T10:00:00Z', finish: '2026-06-02T12:00:00Z' });
    const after = booking({ id: 'd', start: '2026-06-02T12:00:00Z', finish: '2026-06-02T13:00:00Z' });
    const pieces = piecesOn('2026-06-02', [after, other, booking({})], lanes, zone);
    expect(pieces.map(({ booking: { id }, column, columns }) => [id, column, columns])).toEqual([
      ['b', 0, 2],
      ['c', 1, 2],
      ['d', 0, 1],
    ]);
  });
  it('knows what is closed and what two calendars have in common', () => {
    expect(
      closedOf([
        { from: 840, to: 1080 },
        { from: 540, to: 720 },
      ]),
    ).toEqual([
      { from: 0, to: 540 },
      { from: 720, to: 840 },
      { from: 1080, to: 1440 },
    ]);
    expect(common([{ from: 0, to: 600 }], [{ from: 540, to: 720 }])).toEqual([{ from: 540, to: 600 }]);
  });
  it('draws the short day of spring and the long one of autumn by the hands of the clock', () => {
    const spring = { from: '2026-03-29T00:30:00Z', to: '2026-03-29T01:30:00Z' };
    expect(stretchOn('2026-03-29', spring, zone)).toEqual({ from: 90, to: 210 });
    expect(daysOf('2026-03-23').at(-1)).toBe('2026-03-29');
  });
  it('shows more hours when something is booked there, and snaps to quarters within the day', () => {
    expect(hoursShown([{ from: 545, to: 1185 }])).toEqual({ from: 480, to: 1200 });
    expect(snapped(547, 60)).toBe(540);
    expect(snapped(1500, 60)).toBe(1380);
  });
});
