/** Private calendars out, busy times in, and a week in which the clock changes, on both back ends. */
import ICAL from 'ical.js';
import { DateTime } from 'luxon';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import type { BookingView } from '../../libs/contracts/index.js';
import {
  dataBackEnds,
  makeInstallation,
  type Installation,
  type RunningInstallation,
} from './installation.js';
import { acceptPlan, addLoans, allBookings, mondayAt, ZONE } from './planScene.js';
import { join, refusalOf, setUpOwner, type Visitor } from './visitor.js';

interface Read {
  readonly uid: string;
  readonly sequence: number;
  readonly status: string;
  readonly start: string;
  readonly title: string;
  readonly alarm: string | undefined;
}

describe.each(dataBackEnds)('calendars on %s', (backEnd) => {
  let installation: Installation;
  let server: RunningInstallation;
  let host: Visitor;
  let colleague: Visitor;
  let address = '';

  beforeAll(async () => {
    installation = await makeInstallation(backEnd);
    server = await installation.start();
    host = await setUpOwner(server.url);
    colleague = await join(host, 'cohost', 'Bo Lind');
    await addLoans(host, [{ title: 'Heron 3' }, { title: 'Reed 5', arrivesIn: 5 }]);
    await acceptPlan(host);
  });
  afterAll(() => installation.remove());

  /** As a calendar program does: nothing but the address; read by a parser that knows nothing of the writer. */
  async function read(path = address): Promise<Read[]> {
    const answer = await fetch(`${server.url}${path}`);
    expect(answer.status).toBe(200);
    expect(answer.headers.get('content-type')).toBe('text/calendar; charset=utf-8');
    const text = await answer.text();
    expect(text.split('\r\n').filter((line) => Buffer.byteLength(line) > 75 || line.includes('\n'))).toEqual(
      [],
    );
    const calendar = new ICAL.Component(ICAL.parse(text) as never);
    return calendar.getAllSubcomponents('vevent').map((event) => ({
      uid: String(event.getFirstPropertyValue('uid')),
      sequence: Number(event.getFirstPropertyValue('sequence')),
      status: String(event.getFirstPropertyValue('status')),
      start: (event.getFirstPropertyValue('dtstart') as ICAL.Time).toJSDate().toISOString(),
      title: String(event.getFirstPropertyValue('summary')),
      alarm: event.getFirstSubcomponent('valarm')?.getFirstPropertyValue('trigger')?.toString(),
    }));
  }
  const mine = (bookings: readonly BookingView[], name: string) =>
    bookings.filter(({ people }) => people.some((person) => person.name === name));
  const entryOf = (entries: readonly Read[], booking: BookingView): Read => {
    const entry = entries.find(({ uid }) => uid.startsWith(booking.id));
    if (!entry) throw new Error(`${booking.label} is not in the calendar.`);
    return entry;
  };

  it('gives each person a private address that shows their sessions and when loans are due back', async () => {
    expect(await host.client.calendarFeed()).toMatchObject({ active: false });
    const made = await host.client.makeCalendarFeed();
    address = made.path ?? '';
    expect(address).toMatch(/^\/api\/calendar\/[\w-]{43}\.ics$/);
    expect((await host.client.calendarFeed()).path).toBeUndefined();
    const entries = await read();
    const bookings = mine(await allBookings(host), 'Ida Rask');
    const sessions = entries.filter(({ title }) => !title.startsWith('Due back'));
    expect(sessions.map(({ start }) => start).sort()).toEqual(bookings.map(({ start }) => start).sort());
    expect(new Set(entries.map(({ uid }) => uid)).size).toBe(entries.length);
    expect(sessions.every(({ alarm, status }) => alarm === '-PT30M' && status === 'CONFIRMED')).toBe(true);
    expect(entries.filter(({ title }) => title.startsWith('Due back')).map(({ title }) => title)).toEqual([
      'Due back: Heron 3',
      'Due back: Reed 5',
    ]);
    // Nothing changes in it by being read again.
    expect(await read()).toEqual(entries);
  });

  it('moves what moves under its old name with a higher sequence, and cancels what goes to somebody else', async () => {
    const publish = mine(await allBookings(host), 'Ida Rask').find(
      ({ kind }) => kind === 'publish',
    ) as BookingView;
    const before = entryOf(await read(), publish);
    const moved = await host.client.changeBooking(publish.id, {
      version: publish.version,
      start: mondayAt(70, '14:00'),
    });
    const after = entryOf(await read(), publish);
    expect(after).toMatchObject({ uid: before.uid, start: new Date(mondayAt(70, '14:00')).toISOString() });
    expect(after.sequence).toBeGreaterThan(before.sequence);

    const bo = (await host.client.people()).find(({ name }) => name === 'Bo Lind');
    const given = await host.client.changeBooking(moved.id, {
      version: moved.version,
      personIds: [bo?.id ?? ''],
    });
    const gone = entryOf(await read(), publish);
    expect(gone).toMatchObject({ uid: before.uid, status: 'CANCELLED', alarm: undefined });
    expect(gone.sequence).toBeGreaterThan(after.sequence);
    const { path = '' } = await colleague.client.makeCalendarFeed();
    expect(entryOf(await read(path), given).status).toBe('CONFIRMED');
  });

  it('does not name what is under embargo, in whatever line', async () => {
    const [loan] = await addLoans(host, [{ title: 'Secret 9', arrivesIn: 4 }]);
    await host.client.changeLoan(loan?.id ?? '', {
      version: loan?.version ?? 0,
      embargoUntil: new Date(Date.now() + 30 * 24 * 3600_000).toISOString(),
    });
    await acceptPlan(host);
    for (const path of [address, (await colleague.client.makeCalendarFeed()).path ?? '']) {
      const text = await (await fetch(`${server.url}${path}`)).text();
      expect(text).not.toContain('Secret');
      expect(text.replaceAll(/\r\n /g, '')).toContain('Due back: a loan under embargo');
    }
    const sessions = (await read()).filter(({ title }) => !title.startsWith('Due back'));
    expect(sessions.some(({ title }) => title.endsWith(': a loan under embargo'))).toBe(true);
  });

  it('answers a revoked, a replaced, a misspelt and an unknown address alike, and writes none of them down', async () => {
    const old = address;
    address = (await host.client.makeCalendarFeed()).path ?? '';
    const unknown = `/api/calendar/${'x'.repeat(43)}.ics`;
    const answers = await Promise.all(
      [old, unknown, address.replace('.ics', ''), '/api/calendar/x'].map(async (path) => {
        const answer = await fetch(`${server.url}${path}`);
        return `${answer.status} ${await answer.text()}`;
      }),
    );
    expect(new Set(answers).size).toBe(1);
    expect(answers[0]).toMatch(/^404 /);
    await read();
    await host.client.revokeCalendarFeed();
    expect((await fetch(`${server.url}${address}`)).status).toBe(404);
    expect(server.output()).not.toContain(address.slice('/api/calendar/'.length, -'.ics'.length));
    expect((await refusalOf(host.client.revokeCalendarFeed())).status).toBe(404);
  });

  const file = (...lines: string[]) =>
    ['BEGIN:VCALENDAR', 'VERSION:2.0', ...lines, 'END:VCALENDAR'].join('\r\n');

  it('reads somebody’s busy times, plans around them, and reads them anew', async () => {
    const ida = (await host.client.people()).find(({ name }) => name === 'Ida Rask');
    const [session] = mine(await allBookings(host), 'Ida Rask') as [BookingView];
    const begin = DateTime.fromISO(session.start, { zone: ZONE });
    const weekly = file(
      'BEGIN:VEVENT',
      'UID:lesson@example.org',
      `DTSTART;TZID=Europe/Berlin:${begin.minus({ weeks: 8 }).toFormat("yyyyMMdd'T'HHmmss")}`,
      'DURATION:PT1H',
      'RRULE:FREQ=WEEKLY',
      'SUMMARY:Lesson',
      'END:VEVENT',
    );
    const ask = { personId: ida?.id ?? '', name: 'private.ics' };
    const read = await host.client.importBusy({ ...ask, calendar: weekly });
    // From a week ago to a year and a half ahead.
    expect(read.spans).toBeGreaterThan(75);
    const plan = await host.client.plan();
    expect(plan.causes.map(({ code }) => code)).toContain('away');
    expect(plan.changes.map(({ bookingId }) => bookingId)).toContain(session.id);
    await acceptPlan(host);
    const hour = begin.toFormat('ccc HH:mm');
    const starts = mine(await allBookings(host), 'Ida Rask').map(({ start }) =>
      DateTime.fromISO(start, { zone: ZONE }).toFormat('ccc HH:mm'),
    );
    expect(starts).not.toContain(hour);

    const again = await host.client.importBusy({
      ...ask,
      calendar: file('BEGIN:VEVENT', 'UID:a', 'DTSTART:20260101T090000Z', 'END:VEVENT'),
    });
    expect(again).toMatchObject({ spans: 0, passedOver: [{ line: 3, why: 'It takes no time.' }] });
    expect((await host.client.house()).absences).toEqual([]);
    await host.client.removeBusy(again.id);
    const room = await host.client.importBusy({ placeId: 'room', name: 'hall', calendar: weekly });
    expect(room.placeId).toBe('room');
    await host.client.removeBusy(room.id);
    expect((await host.client.house()).absences).toEqual([]);
  });

  it.each([
    ['a cut-off file', 'BEGIN:VCALENDAR\r\nBEGIN:VEVENT', 2],
    ['something else', '<html>', 1],
    [
      'a repetition every second',
      file('BEGIN:VEVENT', 'UID:a', 'DTSTART:20260101T090000Z', 'RRULE:FREQ=SECONDLY', 'END:VEVENT'),
      6,
    ],
    [
      'a zone nobody knows',
      file('BEGIN:VEVENT', 'UID:a', 'DTSTART;TZID=Mars/Dome:20260101T090000', 'END:VEVENT'),
      5,
    ],
  ])('refuses %s with its line and keeps nothing of it', async (_name, calendar, line) => {
    const refused = await refusalOf(host.client.importBusy({ placeId: 'rig', name: 'bad.ics', calendar }));
    expect(refused).toMatchObject({ status: 422, refusal: { code: 'calendar-refused' } });
    expect(refused.refusal.message).toContain(`bad.ics: Line ${line}: `);
    expect((await host.client.house()).busyCalendars).toEqual([]);
  });

  it('keeps the hours of the house through the week in which the clock changes', async () => {
    const sunday = clockChange();
    const arrival = sunday.minus({ days: 2 }).toFormat('yyyy-MM-dd');
    const maker = await host.client.addMaker({ name: 'Crane & Coot (invented)' });
    const loan = await host.client.addLoan({
      makerId: maker.id,
      title: 'Spring 1',
      arrivalFrom: arrival,
      arrivalTo: arrival,
      returnBy: sunday.plus({ days: 25 }).toFormat('yyyy-MM-dd'),
    });
    await host.client.addUnit(loan.id, { name: 'Spring 1', kind: 'standmount' });
    await acceptPlan(host);
    const { bookings, rows } = await host.client.bookings(
      arrival,
      sunday.plus({ days: 7 }).toFormat('yyyy-MM-dd'),
    );
    const manned = bookings
      .filter(({ people }) => people.length > 0)
      .map(({ start, finish }) => [start, finish].map((at) => DateTime.fromISO(at, { zone: ZONE })));
    expect(manned.length).toBeGreaterThan(3);
    for (const [start, finish] of manned as [DateTime, DateTime][]) {
      expect(
        start.toFormat('HH:mm') >= '09:00' && finish.toFormat('HH:mm') <= '18:00' && start.weekday <= 5,
      ).toBe(true);
    }
    const open = rows.find(({ name }) => name === 'Ida Rask')?.open ?? [];
    expect(open.map(({ from }) => from.slice(11, 16))).toEqual([
      '08:00',
      ...Array.from({ length: 5 }, () => '07:00'),
    ]);
  });
});

/** The next Sunday in March on which the clock goes forward here, at least four weeks ahead. */
function clockChange(): DateTime {
  let day = DateTime.now().setZone(ZONE).plus({ weeks: 4 }).startOf('day');
  while (day.plus({ days: 1 }).startOf('day').diff(day, 'hours').hours !== 23)
    day = day.plus({ days: 1 }).startOf('day');
  return day;
}
