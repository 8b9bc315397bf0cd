/** What the database refuses: the same person, place or unit taken twice at once. */
import type { Tx } from './database.js';

export class DoubleBooked extends Error {
  readonly code = 'double-booking';
}

/** PostgreSQL's exclusion_violation. */
const EXCLUSION_VIOLATION = '23P01';

/**
 * Checks the bookings written so far, rather than at the commit, so that the refusal comes from here.
 * @throws DoubleBooked
 */
export async function checkBookings(tx: Tx): Promise<void> {
  try {
    await tx.$executeRaw`set constraints "BookingTake_never_twice" immediate`;
  } catch (error) {
    if (!isExclusionViolation(error)) throw error;
    throw new DoubleBooked('A person, place or unit is booked there already. Nothing was changed.');
  }
}

export const isExclusionViolation = (error: unknown): boolean =>
  error instanceof Error &&
  JSON.stringify([error.message, (error as { meta?: unknown }).meta ?? null, error.cause ?? null]).includes(
    EXCLUSION_VIOLATION,
  );
