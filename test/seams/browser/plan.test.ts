/**
 * The plan's pages at two browsers: bookings are moved by hand and by key and stay pinned, what is in the way is
 * said, two who plan at once do not overwrite each other, and what changes is on the other's page by itself.
 */
import { DateTime } from 'luxon';
import type { Browser, Locator, Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import type { BookingView, LoanView } from '../../../libs/contracts/index.js';
import { makeInstallation, type Installation } from '../installation.js';
import { acceptPlan, addLoans, allBookings, dayFromNow, ZONE } from '../planScene.js';
import { openMailSink, type MailSink } from '../sinks.js';
import { join, setUpOwner, type Visitor } from '../visitor.js';
import { chromiumPath, launchChromium } from './chromium.js';
import { keepPictures } from './failures.js';
import { expectUsable, sizes } from './pageChecks.js';
import { goLive, openBrowserOf, type TeamMember } from './teamMember.js';
import { refusedWith } from './watchedPage.js';

const HOUR_MS = 3600_000;

describe.skipIf(!chromiumPath)('the plan on the page', () => {
  let installation: Installation;
  let mail: MailSink | undefined;
  let browser: Browser | undefined;
  let host: Visitor;
  let ida: TeamMember;
  let bo: TeamMember;
  let loans: readonly LoanView[];

  beforeAll(async () => {
    installation = await makeInstallation('embedded');
    mail = await openMailSink();
    const [server, launched] = await Promise.all([
      installation.start({ SOJOURN_SMTP_URL: mail.url }),
      launchChromium(),
    ]);
    browser = launched;
    host = await setUpOwner(server.url);
    const cohost = await join(host, 'cohost', 'Bo Lind');
    loans = await addLoans(host, [
      { title: 'Heron 3', arrivesIn: 3, dueIn: 45 },
      { title: 'Reed 5', arrivesIn: 25, dueIn: 75, kind: 'active' },
    ]);
    await acceptPlan(host);
    ida = await openBrowserOf(browser, server.url, host);
    bo = await openBrowserOf(browser, server.url, cohost);
  });
  afterAll(async () => {
    await browser?.close();
    await installation.remove();
    await mail?.close();
  });
  keepPictures(() => [ida, bo]);

  const publishing = async (): Promise<BookingView> => {
    const all = await allBookings(host);
    return found(all.find(({ kind, loanTitle }) => kind === 'publish' && loanTitle === 'Heron 3'));
  };

  it('moves a booking by hand to where there is room, and pins it there on both pages', async () => {
    const publish = await publishing();
    const target = await roomFor(host, publish);
    for (const member of [ida, bo]) await openWeek(member, publish.start, 'elsewhere');
    const block = blockOf(ida.page, publish);
    await dragTo(ida.page, block, publish.start, target);
    await ida.page.getByText(`Publish of Heron 3, ${dayWords(target)}`).waitFor();
    await expect.poll(async () => (await publishing()).start).toBe(new Date(target).toISOString());
    expect((await publishing()).pinned).toBe(true);
    const name = new RegExp(`^Publish of Heron 3; ${dayWords(target)}.*; pinned$`);
    for (const { page } of [ida, bo]) await page.getByRole('button', { name }).waitFor();
    ida.watch.expectQuiet();
  });

  it('does the same by key alone, and takes the pin out', async () => {
    const { page } = bo;
    const before = await publishing();
    const earlier = later(before.start, -30);
    await blockOf(page, before).focus();
    await page.keyboard.press('ArrowUp');
    await page.keyboard.press('ArrowUp');
    await page.getByText(`Publish to ${dayWords(earlier)}: Enter keeps it, Escape leaves it.`).waitFor();
    await page.keyboard.press('Escape');
    expect((await publishing()).start).toBe(before.start);
    await page.keyboard.press('ArrowUp');
    await page.keyboard.press('ArrowUp');
    await page.keyboard.press('Enter');
    await expect.poll(async () => (await publishing()).start).toBe(earlier);
    const moved = blockOf(page, before);
    await page.getByRole('button', { name: new RegExp(`${dayWords(earlier)}.*; pinned$`) }).waitFor();
    await expect.poll(() => moved.evaluate((one) => document.activeElement === one)).toBe(true);
    await page.keyboard.press('p');
    await expect.poll(async () => (await publishing()).pinned).toBe(false);
    bo.watch.expectQuiet();
  });

  it('says what is in the way, and shows what would give way', async () => {
    const { page } = ida;
    const publish = await publishing();
    const own = publish.people[0]?.id;
    const busy = found(
      (await allBookings(host)).find(
        ({ loanTitle, people, start, kind }) =>
          loanTitle === 'Reed 5' && kind !== 'pack' && people[0]?.id === own && start > publish.finish,
      ),
    );
    // What the other did is here.
    await page
      .getByRole('button', {
        name: new RegExp(`^Publish of Heron 3; ${dayWords(publish.start)}.*(Ida Rask|Bo Lind)$`),
      })
      .waitFor();
    await blockOf(page, publish).press('Enter');
    const dialog = page.getByRole('dialog', { name: 'Publish' });
    await dialog.getByLabel('Begins').fill(fieldOf(busy.start));
    await expectUsable(page);
    await dialog.getByRole('button', { name: 'Move and pin it' }).click();
    const alert = dialog
      .getByRole('alert')
      .filter({ hasText: 'Something is in the way. Nothing was moved.' });
    await alert.getByText(`${busy.label} of Reed 5`).waitFor();
    expect((await publishing()).start).toBe(publish.start);
    await dialog.getByRole('button', { name: 'See what would give way' }).click();
    await page.getByRole('heading', { name: /^Proposal: \d+ change/ }).waitFor();
    const row = page.getByRole('row').filter({ hasText: 'Publish' }).filter({ hasText: 'Heron 3' });
    await expect.poll(() => row.textContent()).toContain(dayWords(busy.start));
    await expectUsable(page);
    ida.watch.expectQuiet([refusedWith(409)]);
  });

  it('shows the second who changes a booking what the first made of it', async () => {
    const { page } = bo;
    const publish = await publishing();
    await blockOf(page, publish).press('Enter');
    const dialog = page.getByRole('dialog', { name: 'Publish' });
    await dialog.getByLabel('Begins').waitFor();
    const theirs = later(publish.start, 30);
    await host.client.changeBooking(publish.id, { version: publish.version, start: theirs });
    await dialog.getByLabel('Begins').fill(fieldOf(later(publish.start, 15)));
    await dialog.getByRole('button', { name: 'Move and pin it' }).click();
    const alert = dialog.getByRole('alert').filter({ hasText: 'Somebody changed this booking meanwhile' });
    await alert.getByText(dayWords(theirs)).waitFor();
    await dialog.getByRole('button', { name: 'Put mine over it' }).click();
    await dialog.waitFor({ state: 'detached' });
    await expect.poll(async () => (await publishing()).start).toBe(later(publish.start, 15));
    bo.watch.expectQuiet([refusedWith(409)]);
  });

  it('lets one of two accept; the other is refused and sees the plan as it is now', async () => {
    await addOne(host, 'Whin 4');
    for (const { page, url } of [ida, bo]) {
      await goLive({ page, url } as TeamMember, '/plan/proposal');
      await page.getByText('“Whin 4” is new.').waitFor();
      await page.getByRole('button', { name: 'Work out a plan' }).click();
      await page.getByRole('heading', { name: /^Proposal: \d+ changes$/ }).waitFor();
    }
    await ida.page.getByRole('button', { name: 'Accept this plan' }).click();
    await ida.page.getByText('The plan is in force').waitFor();
    await bo.page.getByText('The plan has changed since this was worked out').waitFor();
    await bo.page.getByRole('button', { name: 'Accept this plan' }).click();
    await bo.page
      .getByRole('alert')
      .filter({ hasText: 'Not accepted: the plan, or what it rests on, changed in between.' })
      .waitFor();
    await bo.page.getByRole('button', { name: 'Look at the plan as it is now' }).click();
    await bo.page.getByText('Nothing needs to change.').waitFor();
    expect((await host.client.plan()).acceptedBy).toBe('Ida Rask');
    ida.watch.expectQuiet();
    bo.watch.expectQuiet([refusedWith(409)]);
  });

  it('tells when a loan that is only thought of could be back, and when that is too late', async () => {
    const { page } = ida;
    const before = (await host.client.loans()).length;
    await goLive(ida, '/plan/what-if');
    await page.getByLabel('Kind of unit').selectOption({ label: 'Floor-stander' });
    await page.getByLabel('Loan length').fill('60');
    await page.getByRole('button', { name: 'Work it out' }).click();
    await page.getByRole('heading', { name: /^Back with the maker .* days from now$/ }).waitFor();
    await expectUsable(page);
    await page.getByLabel('Loan length').fill('4');
    await page.getByRole('button', { name: 'Work it out' }).click();
    await page.getByRole('heading', { name: /^Back with the maker .*, too late$/ }).waitFor();
    await page.getByText('Ask for an extension to').waitFor();
    expect((await host.client.loans()).length).toBe(before);
    ida.watch.expectQuiet();
  });

  it('shows on another’s page at once that a closed rig makes a loan late', async () => {
    await goLive(bo, '/');
    await bo.page.getByRole('heading', { level: 1, name: /on time/ }).waitFor();
    await goLive(ida, '/plan/hours');
    const { page } = ida;
    await page.getByLabel('Who or where').selectOption({ label: 'Rig' });
    await page.getByLabel('Why').fill('turntable at repair');
    await page.getByLabel('To, that day included').fill(dayFromNow(70));
    await page.getByRole('button', { name: 'Note it' }).click();
    await page.getByText('turntable at repair').waitFor();
    await bo.page.getByRole('heading', { level: 1, name: /will go back late/ }).waitFor();
    await expectUsable(page);
    await page.getByRole('button', { name: /^Take back: Rig/ }).click();
    await bo.page.getByRole('heading', { level: 1, name: /on time/ }).waitFor();
    ida.watch.expectQuiet();
    bo.watch.expectQuiet();
  });

  it('keeps hours, holidays, places and busy times, and shows the second writer both', async () => {
    const { page } = ida;
    await goLive(ida, '/plan/hours');
    await page.getByRole('button', { name: 'Change the hours', exact: true }).click();
    const dialog = page.getByRole('dialog', { name: 'Hours of the house' });
    const working = dialog.getByRole('group', { name: 'Working hours', exact: true });
    await working.getByRole('radio', { name: 'Hours of its own' }).check();
    await working.getByLabel('Saturday').fill('ten to two');
    await working.getByText('Such as 09:00-18:00').last().waitFor();
    await expect.poll(() => dialog.getByRole('button', { name: 'Save' }).isDisabled()).toBe(true);
    await working.getByLabel('Saturday').fill('10-14');
    await expectUsable(page);
    const { version } = await host.client.house();
    await host.client.changeHouse({ version, atRiskWorkingDays: 3 });
    await dialog.getByRole('button', { name: 'Save' }).click();
    await dialog.getByText('at risk below 3 days').waitFor();
    await dialog.getByRole('button', { name: 'Save mine over it' }).click();
    await page.getByText('Mon to Fri 09:00-18:00; Sat 10:00-14:00').waitFor();

    const holidays = page.getByRole('region', { name: 'Holidays' });
    await holidays.getByLabel('Day').fill(dayFromNow(40));
    await holidays.getByLabel('Name').fill('Founding day');
    await holidays.getByRole('button', { name: 'Add' }).click();
    await page.getByRole('button', { name: 'Remove Founding day' }).waitFor();
    await page.getByRole('button', { name: 'Add a place' }).click();
    const place = page.getByRole('dialog', { name: 'Add a place' });
    await place.getByLabel('Name').fill('the turntable');
    await place.getByLabel('Pieces of work at once').fill('2');
    await place.getByRole('button', { name: 'Add' }).click();
    await page.getByText('2 pieces of work at once').waitFor();

    const busy = page.getByRole('region', { name: 'Busy times from a calendar' });
    await busy.getByLabel('Name of the calendar').fill('Evening class');
    const file = (text: string) => ({
      name: 'class.ics',
      mimeType: 'text/calendar',
      buffer: Buffer.from(text),
    });
    await busy.getByLabel('File').setInputFiles(file('nothing of the kind'));
    await busy.getByRole('button', { name: 'Read it' }).click();
    await busy.getByRole('alert').waitFor();
    await busy.getByLabel('File').setInputFiles(file(busyCalendar(dayFromNow(8))));
    await busy.getByRole('button', { name: 'Read it' }).click();
    await busy.getByText('1 busy time read.').waitFor();
    await busy.getByRole('button', { name: 'Forget Evening class of Ida Rask' }).waitFor();
    const house = await host.client.house();
    expect(house).toMatchObject({ atRiskWorkingDays: 2, holidays: [{ name: 'Founding day' }] });
    expect(house.busyCalendars.map(({ spans }) => spans)).toEqual([1]);
    await expectUsable(page);
    ida.watch.expectQuiet([refusedWith(409), refusedWith(422)]);
  });

  it('learns from what a step really took', async () => {
    const { page } = ida;
    await goLive(ida, `/loans/${loans[0]?.id ?? ''}`);
    await page.getByRole('button', { name: 'Say how “Unpack and inspect” went' }).click();
    const dialog = page.getByRole('dialog', { name: 'Unpack and inspect' });
    await dialog.getByRole('radio', { name: 'Done' }).check();
    await dialog.getByLabel('Work it really took').fill('90');
    await expectUsable(page);
    await dialog.getByRole('button', { name: 'Save' }).click();
    await page.getByText('done, took 1.5 h').waitFor();
    await goLive(ida, '/plan/work');
    const row = page
      .getByRole('row')
      .filter({ has: page.getByRole('rowheader', { name: 'Unpack and inspect', exact: true }) });
    await row.getByText('median 1.5 h').waitFor();
    await row.getByRole('button', { name: /^Change/ }).click();
    await page.getByRole('button', { name: 'Plan with that' }).click();
    await expectUsable(page);
    await page.getByRole('dialog').getByRole('button', { name: 'Save' }).click();
    await page.getByText('The team’s own times.').waitFor();
    const [standmount] = await host.client.templates();
    expect(standmount?.steps.find(({ kind }) => kind === 'unpack')?.minutes).toBe(90);
    ida.watch.expectQuiet();
  });

  it('gives a calendar address that reads over HTTP until it is revoked', async () => {
    const { page } = ida;
    await goLive(ida, '/you');
    await page.getByRole('button', { name: 'Make a calendar address' }).click();
    const address = await page.getByLabel('The address').inputValue();
    const calendar = await fetch(address);
    expect(calendar.headers.get('content-type')).toContain('text/calendar');
    const text = await calendar.text();
    expect(text).toContain('BEGIN:VCALENDAR');
    expect(text).toContain('Due back: Heron 3');
    await page.getByRole('button', { name: 'Send me a test' }).click();
    await page
      .getByRole('listitem')
      .filter({ hasText: 'This is a message to try the way.' })
      .getByText(/^sent by e-mail/)
      .waitFor();
    expect(mail?.mails.some(({ body }) => body.includes('Nothing is due.'))).toBe(true);
    await page.getByLabel('Webhook address').fill('https://hooks.example/in');
    await page.getByRole('checkbox', { name: 'Overdue: by webhook' }).check();
    await page.getByRole('button', { name: 'Save the choices' }).click();
    expect((await page.getByLabel('The key of its signatures').inputValue()).length).toBeGreaterThan(30);
    await expectUsable(page);
    expect((await host.client.notifications()).channels.overdue).toContain('webhook');
    await goLive(ida, '/you');
    await page.getByText('An address was made').waitFor();
    await expect.poll(() => page.getByLabel('The address').count()).toBe(0);
    await expect.poll(() => page.getByLabel('The key of its signatures').count()).toBe(0);
    await page.getByRole('button', { name: 'Revoke it' }).click();
    await page.getByRole('dialog').getByRole('button', { name: 'Revoke', exact: true }).click();
    await page.getByRole('button', { name: 'Make a calendar address' }).waitFor();
    expect((await fetch(address)).status).toBe(404);
    ida.watch.expectQuiet();
  });

  it('shows a day at a time on a phone, and a week of bookings to everybody', async () => {
    const publish = await publishing();
    await openWeek(bo, publish.start, 'elsewhere');
    await expectUsable(bo.page);
    await bo.page.setViewportSize(sizes.phone);
    await bo.page.getByRole('heading', { level: 2, name: new RegExp(shortDayOf(publish.start)) }).waitFor();
    await expect.poll(() => bo.page.locator('[data-day]').count()).toBe(1);
    await blockOf(bo.page, publish).click();
    await bo.page.getByRole('dialog', { name: 'Publish' }).waitFor();
    await bo.page.keyboard.press('Escape');
    await bo.page.getByRole('button', { name: 'The day after' }).click();
    await blockOf(bo.page, publish).waitFor({ state: 'detached' });
    bo.watch.expectQuiet();
  });
});

function found<T>(one: T | undefined): T {
  if (one === undefined) throw new Error('The plan has no such booking.');
  return one;
}

async function addOne(visitor: Visitor, title: string): Promise<void> {
  const [maker] = await visitor.client.makers();
  const loan = await visitor.client.addLoan({
    makerId: maker?.id ?? '',
    title,
    arrivalFrom: dayFromNow(5),
    arrivalTo: dayFromNow(5),
    returnBy: dayFromNow(70),
  });
  await visitor.client.addUnit(loan.id, { name: title, kind: 'subwoofer' });
}

/** One evening, two hours, in UTC. */
function busyCalendar(day: string): string {
  const date = day.replaceAll('-', '');
  return [
    'BEGIN:VCALENDAR',
    'VERSION:2.0',
    'PRODID:-//Plover//Test//EN',
    'BEGIN:VEVENT',
    'UID:class@example.org',
    `DTSTAMP:${date}T000000Z`,
    `DTSTART:${date}T170000Z`,
    `DTEND:${date}T190000Z`,
    'SUMMARY:Evening class',
    'END:VEVENT',
    'END:VCALENDAR',
    '',
  ].join('\r\n');
}

const inHouse = (instant: string) => DateTime.fromISO(instant, { zone: ZONE }).setLocale('en-GB');
const later = (instant: string, minutes: number): string =>
  new Date(Date.parse(instant) + minutes * 60_000).toISOString();
const fieldOf = (instant: string): string => inHouse(instant).toFormat("yyyy-MM-dd'T'HH:mm");
const shortDayOf = (instant: string): string => inHouse(instant).toFormat('ccc d LLL');
function dayWords(instant: string): string {
  const at = inHouse(instant);
  const year = at.year === DateTime.now().setZone(ZONE).year ? '' : ' yyyy';
  return at.toFormat(`ccc d LLL${year}, HH:mm`);
}

const blockOf = (page: Page, { id }: BookingView): Locator => page.locator(`[data-booking="${id}"]`);

async function openWeek(member: TeamMember, instant: string, show: string): Promise<void> {
  await goLive(member, `/plan?day=${inHouse(instant).toFormat('yyyy-MM-dd')}`);
  await member.page.getByLabel('Show', { exact: true }).selectOption(show);
}

/** Three free hours of the booking's person on a day of the same week; the middle of them. */
async function roomFor(visitor: Visitor, booking: BookingView): Promise<string> {
  const monday = inHouse(booking.start).startOf('week');
  const bookings = await allBookings(visitor);
  const own = bookings.filter(
    ({ id, people }) => id !== booking.id && people.some((one) => one.id === booking.people[0]?.id),
  );
  const earliest = Date.parse(booking.start);
  for (let day = 0; day < 5; day++) {
    for (const hour of [9, 10, 11, 12, 13, 14, 15]) {
      const at = monday.plus({ days: day }).set({ hour });
      const free = own.every(
        ({ start, finish }) =>
          Date.parse(start) >= at.toMillis() + 3 * HOUR_MS || Date.parse(finish) <= at.toMillis(),
      );
      if (free && at.toMillis() >= earliest) return at.plus({ hours: 1 }).toUTC().toISO() ?? '';
    }
  }
  throw new Error('Nobody has three free hours that week.');
}

/** As a hand does: down on the booking, over to the other day and hour, up. */
async function dragTo(page: Page, block: Locator, from: string, to: string): Promise<void> {
  await block.scrollIntoViewIfNeeded();
  const box = found((await block.boundingBox()) ?? undefined);
  const column = page.locator(`[data-day="${inHouse(to).toFormat('yyyy-MM-dd')}"]`);
  const there = found((await column.boundingBox()) ?? undefined);
  const minutes = (at: string) => inHouse(at).hour * 60 + inHouse(at).minute;
  const hour = async (words: string) => {
    const label = await page.getByText(words, { exact: true }).first().boundingBox();
    return label?.y ?? Number.NaN;
  };
  const perMinute = ((await hour('10:00')) - (await hour('09:00'))) / 60;
  const start = { x: box.x + box.width / 2, y: box.y + box.height / 2 };
  await page.mouse.move(start.x, start.y);
  await page.mouse.down();
  await page.mouse.move(start.x + 10, start.y + 10);
  await page.mouse.move(there.x + there.width / 2, start.y + (minutes(to) - minutes(from)) * perMinute, {
    steps: 5,
  });
  await page.mouse.up();
}
