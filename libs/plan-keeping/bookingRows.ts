/** Bookings as they stand in the database. */
import type { Tx } from '../store/index.js';

export interface BookingRow {
  readonly id: string;
  readonly loanId: string;
  readonly unitId: string | null;
  readonly stepId: string;
  readonly kind: string;
  readonly label: string;
  readonly session: number;
  readonly start: Date;
  readonly finish: Date;
  readonly pinned: boolean;
  readonly outcome: 'worked' | 'missed' | null;
  readonly cancelledAt: Date | null;
  readonly version: number;
  readonly takes: readonly { readonly resource: string; readonly lane: number }[];
}

const withTakes = {
  takes: { select: { resource: true, lane: true }, orderBy: { resource: 'asc' } },
} as const;

export const loadBookings = (tx: Tx, where: Record<string, unknown>): Promise<BookingRow[]> =>
  tx.booking.findMany({ where, include: withTakes, orderBy: [{ start: 'asc' }, { id: 'asc' }] });

/** Every booking that stands for a loan that is still open, and what closed loans still hold of the future. */
export const standingBookings = (tx: Tx, now: Date): Promise<BookingRow[]> =>
  loadBookings(tx, {
    cancelledAt: null,
    OR: [{ loan: { stage: { not: 'closed' } } }, { finish: { gt: now } }],
  });

const named = (row: Pick<BookingRow, 'takes'>, kind: string): string[] =>
  row.takes.flatMap(({ resource }) =>
    resource.startsWith(`${kind}:`) ? [resource.slice(kind.length + 1)] : [],
  );
export const peopleOf = (row: Pick<BookingRow, 'takes'>): string[] => named(row, 'person');
export const placeOf = (row: Pick<BookingRow, 'takes'>): string | null => named(row, 'place')[0] ?? null;
export const minutesOf = ({ start, finish }: Pick<BookingRow, 'start' | 'finish'>): number =>
  (finish.getTime() - start.getTime()) / 60_000;
