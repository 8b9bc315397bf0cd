/** How full each person’s and place’s weeks are. */
import { DateTime } from 'luxon';
import type { WorkloadView } from '../contracts/index.js';
import type { Tx } from '../store/index.js';
import { loadBookings, type BookingRow } from './bookingRows.js';
import { houseCalendars, type HouseCalendars } from './houseCalendars.js';
import { openHours, type OpenHours, type OpenSpan } from './openHours.js';

/** @param from a day of the first week, YYYY-MM-DD */
export async function workload(tx: Tx, from: string, weeks: number): Promise<WorkloadView> {
  const zone = (await tx.installation.findUnique({ where: { id: 1 } }))?.timeZone ?? 'UTC';
  const monday = DateTime.fromISO(from, { zone }).startOf('week');
  const end = monday.plus({ weeks });
  const [calendars, rows] = await Promise.all([
    houseCalendars(tx, monday.toJSDate()),
    loadBookings(tx, { cancelledAt: null, start: { lt: end.toJSDate() }, finish: { gt: monday.toJSDate() } }),
  ]);
  const hours = openHours(calendars, monday.toJSDate(), end.toJSDate());
  return {
    timeZone: zone,
    weeks: Array.from({ length: weeks }, (_unused, at) => {
      const week = monday.plus({ weeks: at });
      const span = { from: week.toJSDate(), to: week.plus({ weeks: 1 }).toJSDate() };
      return { from: week.toFormat('yyyy-MM-dd'), rows: rowsOf(calendars, hours, rows, span) };
    }),
  };
}

function rowsOf(
  calendars: HouseCalendars,
  hours: OpenHours,
  bookings: readonly BookingRow[],
  week: OpenSpan,
): WorkloadView['weeks'][number]['rows'] {
  const row = (
    kind: 'person' | 'place',
    id: string,
    name: string,
    open: readonly OpenSpan[],
    lanes: number,
  ) => {
    const resource = `${kind}:${id}`;
    const booked = bookings
      .filter(({ takes }) => takes.some((take) => take.resource === resource))
      .map(({ start, finish }) => ({ from: start, to: finish }));
    return {
      id: resource,
      kind,
      name,
      openMinutes: minutesWithin(open, week) * lanes,
      bookedMinutes: minutesWithin(booked, week),
    };
  };
  return [
    ...calendars.people.map(({ id, name }) => row('person', id, name, hours.person(id), 1)),
    ...calendars.places.map(({ id, name, capacity }) => row('place', id, name, hours.place(id), capacity)),
  ];
}

const minutesWithin = (spans: readonly OpenSpan[], week: OpenSpan): number =>
  spans.reduce((sum, { from, to }) => {
    const start = Math.max(from.getTime(), week.from.getTime());
    const finish = Math.min(to.getTime(), week.to.getTime());
    return sum + Math.max(0, finish - start) / 60_000;
  }, 0);
