/** Days and instants in the reader's zone, both as a date and as a distance. */
import { useSyncExternalStore } from 'react';
import { clockWords, dayInZone, dayNumber, relativeDays, relativeInstant, shortDay } from '../words/dates.js';

let now = new Date();
const listeners = new Set<() => void>();
let timer: ReturnType<typeof setInterval> | undefined;

function subscribe(listener: () => void): () => void {
  listeners.add(listener);
  timer ??= setInterval(() => {
    now = new Date();
    for (const each of listeners) each();
  }, 30_000);
  return () => {
    listeners.delete(listener);
    if (listeners.size > 0) return;
    clearInterval(timer);
    timer = undefined;
  };
}

/** The present, to half a minute; the words that use it stay true while the page stands open. */
export function useNow(): Date {
  return useSyncExternalStore(subscribe, () => now);
}
/** Today's calendar day where the reader is. */
export function useToday(): string {
  return dayInZone(useNow());
}

export function Day(props: { day: string | null; none?: string; relative?: boolean }) {
  const today = useToday();
  if (!props.day) return <span className="soft">{props.none ?? 'not set'}</span>;
  const distance = relativeDays(dayNumber(props.day) - dayNumber(today));
  return (
    <time dateTime={props.day} title={props.day}>
      {shortDay(props.day, today)}
      {props.relative !== false && <span className="soft">, {distance}</span>}
    </time>
  );
}

export function Instant(props: { at: string | null; none?: string; relativeOnly?: boolean }) {
  const present = useNow();
  if (!props.at) return <span className="soft">{props.none ?? 'not yet'}</span>;
  const full = clockWords(props.at, dayInZone(present));
  const relative = relativeInstant(props.at, present);
  return (
    <time dateTime={props.at} title={`${full} (${props.at})`}>
      {props.relativeOnly ? relative : full}
      {!props.relativeOnly && <span className="soft">, {relative}</span>}
    </time>
  );
}
