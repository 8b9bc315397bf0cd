import { describe, expect, it } from 'vitest';
import type { LoanSummary } from '../contracts.js';
import { dayNumber } from '../words/dates.js';
import { bandDays, bandShape, windowOf, xOf, type BandDays } from './bandShape.js';
import { calendarMarks, weekends } from './calendarMarks.js';

const window = { from: 0, to: 100 };
const band: BandDays = {
  start: 10,
  sureFrom: 10,
  hasArrived: true,
  returnBy: 60,
  planEnd: 40,
  embargo: null,
  delivered: null,
};
/** The corners of a path as [x, y] pairs. */
const corners = (path: string) =>
  path
    .slice(1, -1)
    .split('L')
    .map((pair) => pair.split(' ').map(Number));
const heightAt = (path: string, x: number) => {
  const ys = corners(path)
    .filter(([px]) => px === x)
    .map(([, y]) => y);
  return Math.max(...ys) - Math.min(...ys);
};

describe('a loan’s band', () => {
  const shape = bandShape(band, window, 1000, 33);
  it('is full where it arrives and a point where it must be back', () => {
    expect(heightAt(shape.work, 100)).toBeCloseTo(33, 1);
    expect(heightAt(shape.slack, 600)).toBeCloseTo(3, 1);
    // Two fifths of the way are left at day 40: 3 + 30 * 0.4.
    expect(heightAt(shape.work, 400)).toBeCloseTo(15, 1);
  });
  it('draws slack between the plan’s end and the return day, and nothing beyond', () => {
    expect(Math.min(...corners(shape.slack).map(([x]) => x))).toBe(400);
    expect(shape.over).toBe('');
    expect(shape.returnX).toBe(600);
  });
  it('opens again behind the return day when the plan ends later', () => {
    const late = bandShape({ ...band, planEnd: 80 }, window, 1000, 33);
    expect(late.slack).toBe('');
    expect(Math.max(...corners(late.work).map(([x]) => x))).toBe(600);
    expect(heightAt(late.over, 600)).toBeCloseTo(3, 1);
    expect(heightAt(late.over, 800)).toBeGreaterThan(15);
    expect(late.toX).toBe(800);
  });
  it('is cut, not squeezed, at the window’s edges', () => {
    const cut = bandShape({ ...band, start: -40, sureFrom: -40 }, window, 1000, 33);
    // Sixty of a hundred days are left at the edge.
    expect(heightAt(cut.work, 0)).toBeCloseTo(3 + 30 * 0.6, 1);
  });
  it('shows the days in which it may still arrive', () => {
    const awaited = bandShape({ ...band, sureFrom: 20, hasArrived: false }, window, 1000, 33);
    expect(corners(awaited.awaited).map(([x]) => x)).toEqual([100, 200, 200, 100]);
    expect(Math.min(...corners(awaited.work).map(([x]) => x))).toBe(200);
  });
  it('runs on evenly when no return day is agreed', () => {
    const open = bandShape({ ...band, returnBy: null, planEnd: null }, window, 1000, 33);
    expect(open.returnX).toBeNull();
    expect(heightAt(open.work, 100)).toBe(heightAt(open.work, 1000));
  });
});

describe('the days of a loan', () => {
  const loan = {
    arrivedOn: null,
    arrivalFrom: '2026-03-02',
    arrivalTo: '2026-03-06',
    returnBy: '2026-04-01',
    embargoUntil: '2026-03-20T12:00:00Z',
    deliveredOn: null,
    plan: { urgency: 'on-track', steps: [{ finish: '2026-03-25T12:00:00Z' }, { finish: null }] },
  } as LoanSummary;
  it('come from its terms and its plan', () => {
    const days = bandDays(loan)!;
    expect(days.sureFrom - days.start).toBe(4);
    expect(days.planEnd).toBe(dayNumber('2026-03-25') + 0.5);
    expect(days.hasArrived).toBe(false);
  });
  it('end with the return day, and only the plan says that a loan is late', () => {
    const overnight = [{ finish: '2026-04-02T01:30:00Z' }];
    const end = dayNumber('2026-04-02');
    const plan = (urgency: string) =>
      ({ ...loan, plan: { urgency, steps: overnight } }) as unknown as LoanSummary;
    expect(bandDays(plan('at-risk'))).toMatchObject({ returnBy: end, planEnd: end });
    expect(bandDays(plan('late'))!.planEnd).toBeGreaterThan(end);
  });
  it('are none when nothing is agreed', () => {
    expect(bandDays({ ...loan, arrivalFrom: null, arrivalTo: null, returnBy: null })).toBeNull();
  });
  it('make a window that holds today and every return, within reason', () => {
    const today = dayNumber('2026-03-10');
    const seen = windowOf([bandDays(loan)!], today);
    expect(seen.from).toBeLessThan(today);
    expect(seen.to).toBeGreaterThanOrEqual(dayNumber('2026-04-01') + 5);
    expect(xOf(seen.from, seen, 500)).toBe(0);
    expect(xOf(seen.to, seen, 500)).toBe(500);
    const far = windowOf([{ ...bandDays(loan)!, returnBy: today + 4000 }], today);
    expect(far.to - far.from).toBe(150);
  });
});

describe('calendar marks', () => {
  it('name months and keep week numbers away from them', () => {
    const march = { from: dayNumber('2026-02-25'), to: dayNumber('2026-04-05') };
    const marks = calendarMarks(march, 800);
    expect(marks.filter((mark) => mark.month).map((mark) => mark.text)).toEqual(['Mar', 'Apr']);
    expect(marks.find((mark) => mark.day === dayNumber('2026-03-02'))?.text).toBe('');
    expect(marks.find((mark) => mark.day === dayNumber('2026-03-16'))?.text).toBe('16');
  });
  it('knows Saturdays', () => {
    expect(weekends({ from: dayNumber('2026-03-02'), to: dayNumber('2026-03-15') })).toEqual([
      dayNumber('2026-03-07'),
      dayNumber('2026-03-14'),
    ]);
  });
});
