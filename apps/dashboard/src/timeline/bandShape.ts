/**
 * A loan as a band over days: full height where it arrives, narrowing to a point at the day it must be back. What is
 * left between the plan's last step and that day is slack; what goes beyond it opens again behind the point.
 *
 * All lengths are px, all days are day numbers (see words/dates.ts); pure.
 */
import { dayNumber } from '../words/dates.js';
import type { LoanSummary } from '../contracts.js';

export interface DayWindow {
  readonly from: number;
  readonly to: number;
}

export interface BandDays {
  /** Arrived, or the first day it may arrive. */
  readonly start: number;
  /** The last day it may arrive, while it has not; else equal to `start`. */
  readonly sureFrom: number;
  readonly hasArrived: boolean;
  /** The end of the day it must be back; null when none is agreed. */
  readonly returnBy: number | null;
  /** Where the plan's last step ends; null when there is none. */
  readonly planEnd: number | null;
  readonly embargo: number | null;
  readonly delivered: number | null;
}

export interface BandShape {
  /** What the work takes. */
  readonly work: string;
  /** What is left before the return day. */
  readonly slack: string;
  /** What goes beyond it. */
  readonly over: string;
  /** The days in which it may still arrive. */
  readonly awaited: string;
  readonly returnX: number | null;
  readonly embargoX: number | null;
  /** The visible part, for the frame that takes the focus. */
  readonly fromX: number;
  readonly toX: number;
}

const TIP_PX = 3;

/** The days of a loan; null when it has none to draw. */
export function bandDays(loan: LoanSummary): BandDays | null {
  const start = loan.arrivedOn ?? loan.arrivalFrom ?? loan.arrivalTo;
  const returnBy = loan.returnBy ? dayNumber(loan.returnBy) + 1 : null;
  if (!start && returnBy === null) return null;
  const first = start ? dayNumber(start) : returnBy! - 14;
  const last = loan.arrivedOn ? first : loan.arrivalTo ? Math.max(first, dayNumber(loan.arrivalTo)) : first;
  const ends = loan.plan.steps.flatMap((step) => (step.finish ? [dayNumberOfInstant(step.finish)] : []));
  const planEnd = ends.length > 0 ? Math.max(...ends) : null;
  // Whether it is late is the plan's to say; hours of zones must not make it so.
  const inTime = planEnd !== null && returnBy !== null && loan.plan.urgency !== 'late';
  return {
    start: first,
    sureFrom: last,
    hasArrived: loan.arrivedOn !== null,
    returnBy,
    planEnd: inTime ? Math.min(planEnd, returnBy) : planEnd,
    embargo: loan.embargoUntil ? dayNumberOfInstant(loan.embargoUntil) : null,
    delivered: loan.deliveredOn ? dayNumber(loan.deliveredOn) + 1 : null,
  };
}

/** A day with its fraction, so that an afternoon's end lies behind a morning's. */
function dayNumberOfInstant(instant: string): number {
  return instant.length <= 10 ? dayNumber(instant) : Date.parse(instant) / 86_400_000;
}

/** The days worth showing: from a little before today (or the oldest arrival near it) to behind the last return. */
export function windowOf(bands: readonly BandDays[], today: number, least = 42, most = 150): DayWindow {
  const starts = bands.map((band) => band.start);
  const ends = bands.flatMap((band) => [band.returnBy ?? band.sureFrom, band.planEnd ?? band.start]);
  const from = Math.max(today - 45, Math.min(today - 7, ...starts.map((day) => day - 2)));
  const to = Math.max(today + 14, from + least, ...ends.map((day) => day + 5));
  return { from, to: Math.min(Math.ceil(to), from + most) };
}

export function xOf(day: number, window: DayWindow, widthPx: number): number {
  return ((day - window.from) / (window.to - window.from)) * widthPx;
}

/** @param heightPx the band's full height; it is drawn about y = heightPx / 2 */
export function bandShape(band: BandDays, window: DayWindow, widthPx: number, heightPx: number): BandShape {
  const x = (day: number) => xOf(day, window, widthPx);
  const tip = band.returnBy ?? Math.max(window.to, band.sureFrom + 1);
  const full = heightPx;
  const end = band.delivered ?? tip;
  const heightAt = (day: number): number => {
    if (band.returnBy === null) return full * 0.62;
    const left = (band.returnBy - day) / Math.max(1, band.returnBy - band.start);
    if (left >= 0) return TIP_PX + (full - TIP_PX) * Math.min(1, left);
    return Math.min(full, TIP_PX - left * (full - TIP_PX) * 1.4);
  };
  const piece = (from: number, to: number): string => {
    const a = clamp(from, window);
    const b = clamp(to, window);
    if (b - a < 1e-9) return '';
    const corners = [a, ...(tip > a && tip < b ? [tip] : []), b];
    return wedge(
      corners.map((day) => [x(day), heightAt(day)] as const),
      heightPx / 2,
    );
  };
  const workEnd = Math.min(band.planEnd ?? end, end);
  const beyond =
    band.returnBy !== null && band.delivered === null && band.planEnd !== null ? band.planEnd : end;
  return {
    work: piece(band.sureFrom, Math.max(band.sureFrom, workEnd)),
    slack: piece(Math.max(band.sureFrom, workEnd), end),
    over: beyond > tip ? piece(tip, beyond) : '',
    awaited: piece(band.start, band.sureFrom),
    returnX: inside(band.returnBy, window) ? x(band.returnBy!) : null,
    embargoX: inside(band.embargo, window) ? x(band.embargo!) : null,
    fromX: x(clamp(band.start, window)),
    toX: x(clamp(Math.max(end, beyond), window)),
  };
}

function wedge(points: readonly (readonly [x: number, height: number])[], middle: number): string {
  const round = (value: number) => Math.round(value * 10) / 10;
  const upper = points.map(([x, height]) => `${round(x)} ${round(middle - height / 2)}`);
  const lower = points.toReversed().map(([x, height]) => `${round(x)} ${round(middle + height / 2)}`);
  return `M${[...upper, ...lower].join('L')}Z`;
}

function clamp(day: number, window: DayWindow): number {
  return Math.min(window.to, Math.max(window.from, day));
}
function inside(day: number | null, window: DayWindow): boolean {
  return day !== null && day >= window.from && day <= window.to;
}
