/** The days worth a mark under a time line: month beginnings, and Mondays while there is room. */
import { dayOf } from '../words/dates.js';
import type { DayWindow } from './bandShape.js';

export interface CalendarMark {
  readonly day: number;
  readonly text: string;
  readonly month: boolean;
}

/** 1970-01-05 was a Monday: day number 4. */
const isMonday = (day: number): boolean => (((day - 4) % 7) + 7) % 7 === 0;

export function calendarMarks(window: DayWindow, widthPx: number): CalendarMark[] {
  const pxPerDay = widthPx / (window.to - window.from);
  const weekly = pxPerDay * 7 >= 34;
  const marks: CalendarMark[] = [];
  for (let day = Math.ceil(window.from); day <= window.to; day++) {
    const date = dayOf(day);
    if (date.endsWith('-01')) marks.push({ day, text: monthName(day), month: true });
    else if (isMonday(day))
      marks.push({ day, text: weekly ? String(Number(date.slice(8))) : '', month: false });
  }
  return withoutCrowding(marks, pxPerDay);
}

/** A number right beside a month's name would touch it. */
function withoutCrowding(marks: readonly CalendarMark[], pxPerDay: number): CalendarMark[] {
  const months = marks.filter((mark) => mark.month);
  return marks.map((mark) =>
    mark.month || months.every((month) => Math.abs(month.day - mark.day) * pxPerDay > 30)
      ? mark
      : { ...mark, text: '' },
  );
}

function monthName(day: number): string {
  return new Intl.DateTimeFormat('en-GB', { month: 'short', timeZone: 'UTC' }).format(
    new Date(day * 86_400_000),
  );
}

/** Saturdays, each with the Sunday behind it. */
export function weekends(window: DayWindow): number[] {
  const first = Math.ceil(window.from);
  return Array.from({ length: Math.max(0, Math.floor(window.to) - first + 1) }, (_, i) => first + i).filter(
    (day) => isMonday(day + 2),
  );
}
