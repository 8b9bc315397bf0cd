/** Changes one booking on the version it was seen at: shown at once, put back when it is refused. */
import { useMutation, useQueryClient, type QueryClient } from '@tanstack/react-query';
import { useRef } from 'react';
import { api } from '../api/api.js';
import { keys } from '../api/keys.js';
import type { BookingsView, BookingView } from '../contracts.js';
import { isStale } from '../edit/useVersionedSave.js';
import { refusalOf } from '../words/refusals.js';

export interface BookingChange {
  readonly booking: BookingView;
  readonly start?: string;
  readonly personIds?: string[];
  readonly pinned?: boolean;
  readonly outcome?: 'worked' | 'missed' | null;
}

export class MoveRefused extends Error {
  readonly change: BookingChange;
  override readonly cause: unknown;
  /** The booking as it stands now, when somebody else changed it meanwhile. */
  readonly fresh: BookingView | null;
  constructor(change: BookingChange, cause: unknown, fresh: BookingView | null) {
    super(refusalOf(cause).message);
    this.change = change;
    this.cause = cause;
    this.fresh = fresh;
  }
}

export function useChangeBooking(onDone: (changed: BookingView) => void) {
  const client = useQueryClient();
  const own = useRef(new OwnVersions());
  return useMutation<BookingView, MoveRefused, BookingChange>({
    // One after the other: the second of two quick changes is made on what the first left.
    scope: { id: 'bookings' },
    mutationFn: async (change) => {
      const { booking, ...ask } = change;
      try {
        const changed = await api.changeBooking(booking.id, { version: own.current.of(booking), ...ask });
        own.current.changed(booking, changed);
        return changed;
      } catch (error) {
        const stale = isStale(error) && refusalOf(error).code === 'stale-version';
        throw new MoveRefused(change, error, stale ? await api.booking(booking.id) : null);
      }
    },
    onMutate: ({ booking, start }) => {
      if (start === undefined) return;
      const length = Date.parse(booking.finish) - Date.parse(booking.start);
      const finish = new Date(Date.parse(start) + length).toISOString();
      patchBookings(client, booking.id, (one) => ({ ...one, start, finish }));
    },
    onSuccess: (changed) => {
      patchBookings(client, changed.id, () => changed);
      onDone(changed);
    },
    onSettled: (_done, _error, { booking }) => {
      for (const key of [keys.plan, keys.loan(booking.loanId), keys.dashboard, keys.loans])
        void client.invalidateQueries({ queryKey: key });
    },
  });
}

/** What one's own change made of a version that the page may still show. */
class OwnVersions {
  readonly #made = new Map<string, { readonly from: number; readonly to: number }>();

  of({ id, version }: BookingView): number {
    const made = this.#made.get(id);
    return made?.from === version ? made.to : version;
  }

  changed({ id, version }: BookingView, { version: to }: BookingView): void {
    this.#made.set(id, { from: version, to });
  }
}

function patchBookings(client: QueryClient, id: string, patch: (booking: BookingView) => BookingView): void {
  client.setQueriesData<BookingsView>(
    { queryKey: [...keys.plan, 'bookings'] },
    (view) => view && { ...view, bookings: view.bookings.map((one) => (one.id === id ? patch(one) : one)) },
  );
}
