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

export interface DragDoors {
  readonly grid: RefObject<HTMLElement | null>;
  readonly pxPerMinute: number;
  readonly fromMinute: number;
  /** A finger has rested on it long enough. */
  readonly lift: (booking: BookingView) => void;
  readonly place: (booking: BookingView, day: string, minute: number) => void;
  readonly drop: () => void;
  readonly leave: () => void;
}

export function useDrag(doors: DragDoors) {
  const grip = useRef<Grip | null>(null);
  const latest = useRef(doors);
  const [dragging, setDragging] = useState(false);
  useEffect(() => {
    latest.current = doors;
  });
  useEffect(() => followPointer(grip, latest, setDragging), []);
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

/** From the grab to the drop, wherever the pointer goes; the answer stops following. */
function followPointer(
  grip: RefObject<Grip | null>,
  latest: RefObject<DragDoors>,
  setDragging: (dragging: boolean) => void,
): () => void {
  const listening = new AbortController();
  const { signal } = listening;
  const heldBy = ({ pointerId }: globalThis.PointerEvent) =>
    grip.current?.pointerId === pointerId ? grip.current : null;
  const end = (event: globalThis.PointerEvent) => {
    const held = heldBy(event);
    if (!held) return;
    grip.current = null;
    if (!held.moving) return;
    if (event.type === 'pointerup') latest.current.drop();
    else latest.current.leave();
    // The press that follows the drop is none.
    setTimeout(() => setDragging(false), 0);
  };
  window.addEventListener(
    'pointermove',
    (event) => {
      const held = heldBy(event);
      if (!held) return;
      if (!held.moving && isFar(event, held)) {
        // A finger that moves before it has rested scrolls the page.
        if (event.pointerType === 'touch') grip.current = null;
        else held.moving = true;
      }
      if (!held.moving) return;
      setDragging(true);
      const there = under(latest.current, event, held);
      if (there) latest.current.place(held.booking, there.day, there.minute);
    },
    { signal },
  );
  window.addEventListener('pointerup', end, { signal });
  window.addEventListener('pointercancel', end, { signal });
  window.addEventListener(
    'keydown',
    (event) => {
      if (event.key !== 'Escape' || !grip.current?.moving) return;
      grip.current = null;
      latest.current.leave();
      setDragging(false);
    },
    { signal },
  );
  window.addEventListener(
    'touchmove',
    (event) => {
      if (grip.current?.moving) event.preventDefault();
    },
    { signal, passive: false },
  );
  return () => listening.abort();
}

const isFar = ({ clientX, clientY }: globalThis.PointerEvent, { x, y }: Grip): boolean =>
  Math.hypot(clientX - x, clientY - y) > SLACK_PX;

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
