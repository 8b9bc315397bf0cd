/**
 * What of a step's bookings stands for good, and what may be planned anew. Time goes on while nobody looks at the
 * plan: a session that is over counts as worked, unless somebody says it did not take place, or it was the last of
 * a step that is not done, or what it waits for is not done.
 */
import type { BookingRow } from './bookingRows.js';
import { minutesOf } from './bookingRows.js';

export interface StepFacts {
  readonly now: Date;
  /** The crate is here: before that no session can have begun. */
  readonly arrived: boolean;
  readonly over: boolean;
  /** What has to be done before is not. */
  readonly waits: boolean;
  /** Something came of the work, though the step is not done (a faulty set, a part of the data). */
  readonly evidence: boolean;
}

export interface StepStanding {
  /** Worked, or under way: they keep their place and number. */
  readonly stays: readonly BookingRow[];
  readonly underWay: readonly BookingRow[];
  readonly movable: readonly BookingRow[];
  readonly workedMinutes: number;
  /** The number in the house of the session the engine calls 1, 2, ... */
  sessionNumber(engineSession: number): number;
}

export function stepStanding(rows: readonly BookingRow[], facts: StepFacts): StepStanding {
  const sorted = [...rows].sort((a, b) => a.session - b.session);
  const last = sorted.at(-1);
  const stays = sorted.filter((row) => standsFor(row, row === last, facts));
  const movable = sorted.filter((row) => !stays.includes(row));
  const most = Math.max(0, ...sorted.map(({ session }) => session));
  return {
    stays,
    underWay: stays.filter(({ finish }) => finish > facts.now),
    movable,
    workedMinutes: stays.reduce((sum, row) => sum + minutesOf(row), 0),
    sessionNumber: (engineSession) =>
      movable[engineSession - 1]?.session ?? most + engineSession - movable.length,
  };
}

function standsFor(row: BookingRow, isLast: boolean, facts: StepFacts): boolean {
  const { now, arrived, over, waits, evidence } = facts;
  if (!arrived || row.start > now) return false;
  if (over) return true;
  if (row.outcome === 'missed') return false;
  if (row.outcome === 'worked' || evidence) return true;
  return !waits && (row.finish > now || !isLast);
}
