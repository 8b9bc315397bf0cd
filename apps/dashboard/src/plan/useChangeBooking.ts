/** Changes one booking on the version it was seen at: shown at once, put back when it is refused. */
import { useMutation, useQueryClient } from '@tanstack/react-query';
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
  return useMutation<BookingView, MoveRefused, BookingChange>({
    mutationFn: async (change) => {
      const { booking, ...ask } = change;
      try {
        return await api.changeBooking(booking.id, { version: booking.version, ...ask });
      } catch (error) {
        const stale = isStale(error) && refusalOf(error).code === 'stale-version';
        throw new MoveRefused(change, error, stale ? await api.booking(booking.id) : null);
      }
    },
    onMutate: ({ booking, start }) => {
      if (start === undefined) return;
      const length = Date.parse(booking.finish) - Date.parse(booking.start);
      const finish = new Date(Date.parse(start) + length).toISOString();
      client.setQueriesData<BookingsView>(
        { queryKey: [...keys.plan, 'bookings'] },
        (view) =>
          view && {
            ...view,
            bookings: view.bookings.map((one) => (one.id === booking.id ? { ...one, start, finish } : one)),
          },
      );
    },
    onSuccess: onDone,
    onSettled: (_done, _error, { booking }) => {
      for (const key of [keys.plan, keys.loan(booking.loanId), keys.dashboard, keys.loans])
        void client.invalidateQueries({ queryKey: key });
    },
  });
}
