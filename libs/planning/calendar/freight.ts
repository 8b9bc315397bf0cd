import type { SlotGrid } from './slotGrid.js';
import type { Window } from './windows.js';

/** The days on which a carrier collects and delivers, in slots. */
export interface CarrierDays {
  /** Rising collection windows, one per day on which the carrier works. */
  readonly days: readonly Window[];
}

/** One window per working day from the weekly opening windows: from its first opening to its last closing. */
export function carrierDays(grid: SlotGrid, zone: string, open: readonly Window[]): CarrierDays {
  const days: Window[] = [];
  let i = 0;
  for (const day of grid.civilDays(zone)) {
    const dayEnd = grid.atOrBefore(day.endMs);
    let first = -1;
    let last = -1;
    for (; i < open.length && open[i][0] < dayEnd; i += 1) {
      if (first < 0) [first] = open[i];
      [, last] = open[i];
    }
    if (first >= 0) days.push([first, last]);
  }
  return { days };
}

/**
 * When a crate that is ready at `ready` is delivered: collected on the first carrier day that still has time for it,
 * delivered by the close of the carrier day `transitDays` later. Infinity beyond the calendar.
 */
export function deliveredBy(carrier: CarrierDays, ready: number, transitDays: number): number {
  if (transitDays <= 0) return ready;
  const collected = firstClosingAfter(carrier.days, ready);
  const delivered = carrier.days[collected + transitDays];
  return delivered ? delivered[1] : Infinity;
}

/** Latest instant a crate may be ready to be delivered by `deliverBy`; -Infinity before the calendar. */
export function readyBy(carrier: CarrierDays, deliverBy: number, transitDays: number): number {
  if (transitDays <= 0) return deliverBy;
  // The last carrier day that is over by then.
  const delivered = firstClosingAfter(carrier.days, deliverBy + 1) - 1;
  const collected = carrier.days[delivered - transitDays];
  return collected ? collected[1] : -Infinity;
}

/** Index of the first day whose window closes at or after the time; days.length if none. */
function firstClosingAfter(days: readonly Window[], time: number): number {
  let low = 0;
  let high = days.length;
  while (low < high) {
    const middle = (low + high) >> 1;
    if (days[middle][1] < time) low = middle + 1;
    else high = middle;
  }
  return low;
}
