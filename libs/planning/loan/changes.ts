import type { Booking, BookingChange } from './types.js';

/**
 * What a new plan does to the bookings of the one in force, by booking.
 * Only what matters to people counts: when, and who or where; a booking that is merely shown anew is no change.
 */
export function bookingChanges(before: readonly Booking[], after: readonly Booking[]): BookingChange[] {
  const old = new Map(before.map((booking) => [booking.id, booking]));
  const changes: BookingChange[] = [];
  for (const booking of after) {
    const was = old.get(booking.id);
    old.delete(booking.id);
    const change = was ? changeBetween(was, booking) : 'added';
    if (change) {
      changes.push({
        bookingId: booking.id,
        loanId: booking.loanId,
        change,
        before: was ?? null,
        after: booking,
      });
    }
  }
  for (const [bookingId, was] of old) {
    changes.push({ bookingId, loanId: was.loanId, change: 'removed', before: was, after: null });
  }
  return changes;
}

function changeBetween(was: Booking, is: Booking): BookingChange['change'] | null {
  if (Date.parse(was.start) !== Date.parse(is.start) || Date.parse(was.finish) !== Date.parse(is.finish))
    return 'moved';
  const same = [...was.resourceIds].sort().join('\n') === [...is.resourceIds].sort().join('\n');
  return same ? null : 'reassigned';
}
