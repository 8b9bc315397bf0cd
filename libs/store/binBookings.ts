/** Bookings that come back from the bin: where others have been made since, those stay and the old ones are cancelled. */
import type { TableRows } from './binRows.js';
import type { Change } from './change.js';

export async function freeOfDoubleBookings(
  { tx }: Change,
  contents: readonly TableRows[],
  now: Date,
): Promise<{ contents: readonly TableRows[]; dropped: number }> {
  const takes = contents.find(({ table }) => table === 'BookingTake')?.rows ?? [];
  if (takes.length === 0) return { contents, dropped: 0 };
  // No booking is made between this look and the commit.
  await tx.$executeRaw`lock table "BookingTake" in share row exclusive mode`;
  const met = await tx.$queryRaw<{ id: string }[]>`
    select distinct r."bookingId"::text as id
    from jsonb_populate_recordset(null::"BookingTake", ${JSON.stringify(takes)}::jsonb) r
    join "BookingTake" t on t."resource" = r."resource" and t."lane" = r."lane"
      and t."start" < r."finish" and r."start" < t."finish"`;
  if (met.length === 0) return { contents, dropped: 0 };
  const dropped = new Set(met.map(({ id }) => id));
  const cancelled = { cancelledAt: now.toISOString() };
  return {
    dropped: dropped.size,
    contents: contents.map(({ table, rows }) => {
      switch (table) {
        case 'BookingTake':
          return { table, rows: rows.filter((row) => !dropped.has(String(row['bookingId']))) };
        case 'Booking':
          return {
            table,
            rows: rows.map((row) => (dropped.has(String(row['id'])) ? { ...row, ...cancelled } : row)),
          };
        case 'BookingPerson':
          return {
            table,
            rows: rows.map((row) =>
              dropped.has(String(row['bookingId'])) && row['cancelledAt'] === null
                ? { ...row, ...cancelled, sequence: Number(row['sequence']) + 1 }
                : row,
            ),
          };
        default:
          return { table, rows };
      }
    }),
  };
}
