/** Day columns with an hour scale. What is being moved, by hand or by key, is one tentative start. */
import { useRef } from 'react';
import type { BookingsView, BookingView } from '../contracts.js';
import { useNow } from '../kit/index.js';
import { shortDay } from '../words/dates.js';
import { clockOf, timeOfDay, wallClock } from '../words/houseClock.js';
import { DayColumn } from './DayColumn.js';
import { useMoving } from './useMoving.js';
import {
  bookingOn,
  hoursShown,
  isUnattended,
  lanesOf,
  piecesOn,
  PX_PER_HOUR,
  stretchesOn,
  type Show,
  type Tentative,
} from './weekLayout.js';

export function WeekGrid(props: {
  view: BookingsView;
  days: readonly string[];
  today: string;
  show: Show;
  /** Bookings the plan no longer wants where they are. */
  doubtful: ReadonlySet<string>;
  onOpen: (booking: BookingView) => void;
  onMove: (booking: BookingView, start: string) => void;
  onPin: (booking: BookingView) => void;
}) {
  const { view, days, today, show } = props;
  const zone = view.timeZone;
  const now = useNow().toISOString();
  const grid = useRef<HTMLDivElement>(null);
  const lanes = lanesOf(view, show);
  const pieces = days.map((day) => piecesOn(day, view.bookings, lanes, zone));
  const open = days.flatMap((day) => stretchesOn(day, view.house, zone));
  const hours = hoursShown([...open, ...pieces.flat()]);
  const { tentative, acts } = useMoving({ ...props, grid, zone, fromMinute: hours.from });
  return (
    <>
      <output className="hidden">{tentative ? tentativeWords(tentative, zone, today) : ''}</output>
      <div
        className="week"
        data-crowded={(days.length > 1 && lanes.length > 2) || undefined}
        ref={grid}
        style={{
          gridTemplateColumns: `3rem ${days.map((_, at) => columnWidth(pieces[at] ?? [], days, view, at)).join(' ')}`,
        }}
      >
        <HourScale from={hours.from} to={hours.to} />
        {days.map((day, at) => (
          <DayColumn
            key={day}
            day={day}
            today={today}
            view={view}
            lanes={lanes}
            hours={hours}
            pieces={pieces[at] ?? []}
            unattended={view.bookings.filter(
              (one) => isUnattended(one) && bookingOn(day, one, zone) !== null,
            )}
            now={wallClock(now, zone)}
            tentative={tentative && wallClock(tentative.start, zone).day === day ? tentative : null}
            movingId={tentative?.booking.id ?? null}
            narrow={isIdle(day, pieces[at] ?? [], view) && days.length > 1}
            doubtful={props.doubtful}
            acts={acts}
          />
        ))}
      </div>
    </>
  );
}

/** Nobody works and nothing is booked: the column takes little room. */
function isIdle(day: string, pieces: readonly unknown[], view: BookingsView): boolean {
  return (
    pieces.length === 0 &&
    stretchesOn(day, view.house, view.timeZone).length === 0 &&
    !view.bookings.some((one) => bookingOn(day, one, view.timeZone))
  );
}

const columnWidth = (
  pieces: readonly unknown[],
  days: readonly string[],
  view: BookingsView,
  at: number,
): string =>
  days.length > 1 && isIdle(days[at] ?? '', pieces, view) ? 'minmax(3.4rem, 0.3fr)' : 'minmax(0, 1fr)';

function tentativeWords({ booking, start }: Tentative, zone: string, today: string): string {
  const { day } = wallClock(start, zone);
  return `${booking.label} to ${shortDay(day, today)}, ${timeOfDay(start, zone)}: Enter keeps it, Escape leaves it.`;
}

function HourScale({ from, to }: { from: number; to: number }) {
  const hours = Array.from({ length: (to - from) / 60 }, (_, at) => from + at * 60);
  return (
    <div className="week-hours" aria-hidden="true">
      <div className="week-day-head" />
      <div className="week-scale" style={{ height: ((to - from) / 60) * PX_PER_HOUR }}>
        {hours.slice(1).map((minute) => (
          <span key={minute} className="num" style={{ top: ((minute - from) / 60) * PX_PER_HOUR }}>
            {clockOf(minute)}
          </span>
        ))}
      </div>
    </div>
  );
}
