/** What is being moved, by hand or by key: one tentative start, kept with the drop or with Enter. */
import { useEffect, useRef, useState, type RefObject } from 'react';
import type { BookingView } from '../contracts.js';
import { instantAt, movedBy, wallClock } from '../words/houseClock.js';
import type { ColumnActs } from './DayColumn.js';
import { useDrag } from './useDrag.js';
import { lengthOf, PX_PER_HOUR, SNAP_MINUTES, snapped, type Tentative } from './weekLayout.js';

export function useMoving(props: {
  grid: RefObject<HTMLElement | null>;
  zone: string;
  days: readonly string[];
  /** Where the columns begin. */
  fromMinute: number;
  onOpen: (booking: BookingView) => void;
  onMove: (booking: BookingView, start: string) => void;
  onPin: (booking: BookingView) => void;
}): { tentative: Tentative | null; acts: ColumnActs } {
  const { grid, zone, days } = props;
  const [tentative, setTentative] = useState<Tentative | null>(null);
  const refocus = useRefocus(grid);
  const commit = () => {
    if (tentative && tentative.start !== tentative.booking.start)
      props.onMove(tentative.booking, tentative.start);
    setTentative(null);
  };
  const drag = useDrag({
    grid,
    pxPerMinute: PX_PER_HOUR / 60,
    fromMinute: props.fromMinute,
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
  return { tentative, acts };
}

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
