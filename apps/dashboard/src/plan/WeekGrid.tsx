/** Day columns with an hour scale. What is being moved, by hand or by key, is one tentative start. */
import { useEffect, useRef, useState } from 'react';
import type { BookingsView, BookingView } from '../contracts.js';
import { useNow } from '../kit/index.js';
import { shortDay } from '../words/dates.js';
import { clockOf, instantAt, movedBy, timeOfDay, wallClock } from '../words/houseClock.js';
import { DayColumn, type ColumnActs } from './DayColumn.js';
import { useDrag } from './useDrag.js';
import {
  bookingOn,
  hoursShown,
  isUnattended,
  lanesOf,
  lengthOf,
  piecesOn,
  PX_PER_HOUR,
  SNAP_MINUTES,
  snapped,
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
  const [tentative, setTentative] = useState<Tentative | null>(null);
  const refocus = useRefocus(grid);
  const lanes = lanesOf(view, show);
  const pieces = days.map((day) => piecesOn(day, view.bookings, lanes, zone));
  const open = days.flatMap((day) => stretchesOn(day, view.house, zone));
  const hours = hoursShown([...open, ...pieces.flat()]);
  const commit = () => {
    if (tentative && tentative.start !== tentative.booking.start)
      props.onMove(tentative.booking, tentative.start);
    setTentative(null);
  };
  const drag = useDrag({
    grid,
    pxPerMinute: PX_PER_HOUR / 60,
    fromMinute: hours.from,
    lift: (booking) => setTentative({ booking, start: booking.start }),
    place: (booking, day, minute) =>
      setTentative({ booking, start: instantAt({ day, minute: snapped(minute, lengthOf(booking)) }, zone) }),
    drop: commit,
    leave: () => setTentative(null),
  });
  const acts: ColumnActs = {
    onOpen: (booking) => {
      if (!drag.dragging) props.onOpen(booking);
    },
    onGrab: drag.grab,
    onKey: (booking, event) => {
      const moved = keyMove(event.key, event.shiftKey);
      const start = tentative?.booking.id === booking.id ? tentative.start : booking.start;
      if (moved && booking.state === 'planned') {
        event.preventDefault();
        const next = movedBy(start, moved, zone);
        const day = wallClock(next, zone).day;
        if (days.includes(day)) setTentative({ booking, start: next });
      } else if (event.key === 'Enter' && tentative) {
        event.preventDefault();
        refocus(booking.id);
        commit();
      } else if (event.key === 'Escape' && tentative) setTentative(null);
      else if (event.key.toLowerCase() === 'p' && booking.state === 'planned') props.onPin(booking);
    },
    onBlur: () => {
      if (!drag.dragging) setTentative(null);
    },
  };
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

function keyMove(key: string, big: boolean): { days?: number; minutes?: number } | null {
  const minutes = big ? 60 : SNAP_MINUTES;
  switch (key) {
    case 'ArrowUp':
      return { minutes: -minutes };
    case 'ArrowDown':
      return { minutes };
    case 'ArrowLeft':
      return { days: -1 };
    case 'ArrowRight':
      return { days: 1 };
    default:
      return null;
  }
}

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

const REFOCUS_MS = 5000;

/** What was moved by key is drawn anew elsewhere; the focus goes with it. */
function useRefocus(grid: React.RefObject<HTMLElement | null>): (bookingId: string) => void {
  const wanted = useRef<{ id: string; until: number } | null>(null);
  useEffect(() => {
    if (wanted.current === null || document.activeElement !== document.body) return;
    if (Date.now() < wanted.current.until)
      grid.current?.querySelector<HTMLElement>(`[data-booking="${wanted.current.id}"]`)?.focus();
    wanted.current = null;
  });
  return (id) => {
    wanted.current = { id, until: Date.now() + REFOCUS_MS };
  };
}
