/** Dragging a booking over the day columns with a mouse or pen, or by a long press of a finger. */
import { useEffect, useRef, useState, type PointerEvent, type RefObject } from 'react';
import type { BookingView } from '../contracts.js';

/** Less is a press. */
const SLACK_PX = 5;
const LONG_PRESS_MS = 350;

interface Grip {
  readonly booking: BookingView;
  readonly pointerId: number;
  readonly x: number;
  readonly y: number;
  /** From the booking's top to where it was taken. */
  readonly offsetPx: number;
  moving: boolean;
}

export function useDrag(doors: {
  grid: RefObject<HTMLElement | null>;
  pxPerMinute: number;
  fromMinute: number;
  /** A finger has rested on it long enough. */
  lift: (booking: BookingView) => void;
  place: (booking: BookingView, day: string, minute: number) => void;
  drop: () => void;
  leave: () => void;
}) {
  const grip = useRef<Grip | null>(null);
  const latest = useRef(doors);
  const [dragging, setDragging] = useState(false);
  useEffect(() => {
    latest.current = doors;
  });
  useEffect(() => {
    const move = (event: globalThis.PointerEvent) => {
      const held = grip.current;
      if (!held || event.pointerId !== held.pointerId) return;
      const far = Math.hypot(event.clientX - held.x, event.clientY - held.y) > SLACK_PX;
      if (!held.moving && event.pointerType === 'touch') {
        // A finger that moves before it has rested scrolls the page.
        if (far) grip.current = null;
        return;
      }
      if (!held.moving && !far) return;
      held.moving = true;
      setDragging(true);
      const there = under(latest.current, event, held);
      if (there) latest.current.place(held.booking, there.day, there.minute);
    };
    const end = (event: globalThis.PointerEvent) => {
      const held = grip.current;
      if (!held || event.pointerId !== held.pointerId) return;
      grip.current = null;
      if (!held.moving) return;
      if (event.type === 'pointerup') latest.current.drop();
      else latest.current.leave();
      // The press that follows the drop is none.
      setTimeout(() => setDragging(false), 0);
    };
    const escape = (event: KeyboardEvent) => {
      if (event.key !== 'Escape' || !grip.current?.moving) return;
      grip.current = null;
      latest.current.leave();
      setDragging(false);
    };
    const noScroll = (event: TouchEvent) => {
      if (grip.current?.moving) event.preventDefault();
    };
    window.addEventListener('pointermove', move);
    window.addEventListener('pointerup', end);
    window.addEventListener('pointercancel', end);
    window.addEventListener('keydown', escape);
    window.addEventListener('touchmove', noScroll, { passive: false });
    return () => {
      window.removeEventListener('pointermove', move);
      window.removeEventListener('pointerup', end);
      window.removeEventListener('pointercancel', end);
      window.removeEventListener('keydown', escape);
      window.removeEventListener('touchmove', noScroll);
    };
  }, []);
  const grab = (booking: BookingView, event: PointerEvent<HTMLElement>) => {
    if (event.button !== 0 || booking.state !== 'planned') return;
    const held: Grip = {
      booking,
      pointerId: event.pointerId,
      x: event.clientX,
      y: event.clientY,
      offsetPx: event.clientY - event.currentTarget.getBoundingClientRect().top,
      moving: false,
    };
    grip.current = held;
    if (event.pointerType !== 'touch') return;
    setTimeout(() => {
      if (grip.current !== held) return;
      held.moving = true;
      setDragging(true);
      latest.current.lift(booking);
    }, LONG_PRESS_MS);
  };
  return { grab, dragging };
}

/** The day and minute under a pointer, as the held booking's start. */
function under(
  {
    grid,
    pxPerMinute,
    fromMinute,
  }: { grid: RefObject<HTMLElement | null>; pxPerMinute: number; fromMinute: number },
  { clientX, clientY }: globalThis.PointerEvent,
  { offsetPx }: Grip,
): { day: string; minute: number } | null {
  const columns = [...(grid.current?.querySelectorAll<HTMLElement>('[data-day]') ?? [])];
  const boxes = columns.map((column) => ({
    day: column.dataset['day'] ?? '',
    box: column.getBoundingClientRect(),
  }));
  const found = boxes.find(({ box }) => clientX >= box.left && clientX < box.right);
  if (!found) return null;
  return { day: found.day, minute: fromMinute + (clientY - offsetPx - found.box.top) / pxPerMinute };
}
