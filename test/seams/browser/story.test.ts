/** The main job in a browser, from an empty house to an overridden move in the history, on both back ends. */
import { mkdtemp, rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import path from 'node:path';
import type { Browser, FileChooser, Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import type { SetView } from '../../../libs/contracts/index.js';
import { textFaults } from '../../../seed/faults.js';
import { measurementSet } from '../../../seed/files/measurementSet.js';
import { photographPng } from '../../../seed/scenario/photograph.js';
import { dataBackEnds, makeInstallation, type Installation } from '../installation.js';
import { owner } from '../visitor.js';
import { chromiumPath, launchChromium } from './chromium.js';
import { dropFromDesk } from './dropFromDesk.js';
import { keepPictures, stopAtFirst } from './failures.js';
import { writeFolder } from './measurementFolder.js';
import { expectUsable } from './pageChecks.js';
import { seenStates, watchProgress } from './progressSeen.js';
import { openBrowserOf, type TeamMember } from './teamMember.js';

const complete = measurementSet('sedge-5', { seed: 1, parts: ['horizontal', 'vertical', 'impedance'] });
const withHole = textFaults.missingAngle(complete);
const hole = complete.filter((file) => !withHole.includes(file));
const reason = 'The maker needs it back on Monday; distortion follows with the second specimen.';

describe.skipIf(!chromiumPath).each(dataBackEnds)('the whole story in the browser on %s', (backEnd) => {
  let installation: Installation;
  let browser: Browser | undefined;
  let folder: string;
  let ida: TeamMember;
  let bo: TeamMember;

  beforeAll(async () => {
    installation = await makeInstallation(backEnd);
    folder = await mkdtemp(path.join(tmpdir(), 'sojourn-rig-'));
    const [server, launched] = await Promise.all([installation.start(), launchChromium()]);
    browser = launched;
    ida = await openBrowserOf(browser, server.url);
    bo = await openBrowserOf(browser, server.url);
  });
  afterAll(async () => {
    await browser?.close();
    await installation.remove();
    await rm(folder, { recursive: true, force: true });
  });

  // The pages look the same on either: looking once is enough.
  const usable = async (page: Page) => (backEnd === 'embedded' ? expectUsable(page) : undefined);
  keepPictures(() => [ida, bo]);
  stopAtFirst();

  it('makes the owner on the first page', async () => {
    const { page } = ida;
    await page.goto(ida.url);
    await page.getByRole('heading', { name: 'A new house for borrowed loudspeakers' }).waitFor();
    await usable(page);
    await page.getByLabel('Your team’s name').fill(owner.teamName);
    await page.getByLabel('The team’s time zone').fill(owner.timeZone);
    await page.getByLabel('Your name').fill(owner.name);
    await page.getByLabel('Your e-mail').fill(owner.email);
    await page.getByLabel('A password').fill(owner.password);
    await page.getByRole('button', { name: 'Create the account' }).click();
    await page.getByRole('heading', { level: 1 }).waitFor();
    await expect.poll(() => page.getByRole('banner').textContent()).toContain(owner.teamName);
    ida.watch.expectQuiet();
  });

  it('invites a co-host by a link, who takes it up in another browser', async () => {
    await part(ida.page, 'People').click();
    await ida.page.getByLabel('Invite a').selectOption({ label: 'Co-host' });
    await ida.page.getByLabel('Who it is for').fill('Bo');
    await ida.page.getByRole('button', { name: 'Make a link' }).click();
    const link = await ida.page.getByRole('textbox', { name: 'Invitation link' }).inputValue();

    const { page } = bo;
    await page.goto(new URL(link, bo.url).href);
    await page.getByRole('heading', { name: `Join ${owner.teamName}` }).waitFor();
    await usable(page);
    await page.getByLabel('Your name').fill('Bo Lind');
    await page.getByLabel('Your e-mail').fill('bo@example.org');
    await page.getByLabel('A password').fill('another long pass phrase');
    await page.getByRole('button', { name: 'Join' }).click();
    await part(page, 'Loans').click();
    await ida.page.getByText('bo@example.org').waitFor();
    expect(page.url()).not.toContain(link.slice(link.indexOf('#') + 1));
  });

  it('takes a maker, a loan and a unit, and the colleague sees the loan come', async () => {
    const { page } = ida;
    await part(page, 'Makers').click();
    await page.getByRole('button', { name: 'Add a maker' }).click();
    await page.getByRole('dialog').getByLabel('Name').fill('Wren & Sedge (invented)');
    await page.getByRole('dialog').getByRole('button', { name: 'Add', exact: true }).click();
    await page.getByRole('heading', { name: 'Wren & Sedge (invented)' }).waitFor();

    await part(page, 'Loans').click();
    await page.getByRole('link', { name: 'Add a loan' }).click();
    await usable(page);
    await page.getByLabel('Model name').fill('Heron 3');
    await page.getByLabel('Kind').selectOption({ label: 'Stand-mount' });
    await page.getByLabel('Back with the maker by').fill('2031-06-30');
    await page.getByRole('button', { name: 'Add the loan' }).click();
    await page.getByRole('heading', { name: 'Heron 3', level: 1 }).waitFor();
    await bo.page.getByRole('link', { name: 'Heron 3' }).click();
    await expectStage(bo.page, 'Requested');
  });

  it('refuses a move and names what is missing; the terms make it possible', async () => {
    const { page } = ida;
    const move = page.getByRole('button', { name: 'Move to agreed' });
    expect(await move.isDisabled()).toBe(true);
    for (const unmet of [
      'Not met: It is agreed who pays the freight.',
      'Not met: An insured value is agreed.',
      'Not met: It is settled whether the maker may comment before publication.',
    ]) {
      await expect
        .poll(() => page.getByRole('listitem').filter({ hasText: unmet }).count(), { message: unmet })
        .toBe(1);
    }
    await part(page, 'Terms').click();
    await page.getByRole('button', { name: 'Change the terms' }).click();
    await usable(page);
    await page.getByLabel('May arrive from').fill('2031-05-05');
    await page.getByLabel('Should arrive by').fill('2031-05-07');
    await page.getByLabel('Freight is paid by').selectOption({ label: 'the maker' });
    await page.getByLabel('Carrier', { exact: true }).fill('Pallet freight');
    await page.getByLabel('Insured value').fill('1400');
    await page.getByLabel('It is settled whether the maker may comment').check();
    await page.getByRole('button', { name: 'Save' }).click();
    await page.getByRole('button', { name: 'Change the terms' }).waitFor();
    await part(page, 'Next').click();
    await move.click();
    await expectStage(page, 'Agreed');
    await page.getByRole('button', { name: 'Move to unpacking' }).click();
    await expectStage(page, 'Unpacking');
    await expectStage(bo.page, 'Unpacking');
  });

  it('is unpacked: accessories counted, condition photographed and signed', async () => {
    const { page } = ida;
    await part(page, 'Crate and condition').click();
    await page.getByLabel('Add to the list').fill('Grille');
    await page.getByRole('button', { name: 'Add', exact: true }).click();
    await page.getByRole('button', { name: 'All 1 of Grille are here' }).click();
    await page.getByText('1 of 1 counted').waitFor();
    await page.getByRole('button', { name: 'Write a report' }).click();
    await page.getByLabel('Serial number seen').fill('WS-H3-00017');
    await page.getByRole('textbox', { name: /^Condition/ }).fill('As new; double carton, no dents.');
    await usable(page);
    await page.getByRole('button', { name: 'Keep the report' }).click();
    await chooseFiles(page, 'Add photographs', {
      name: 'crate.png',
      mimeType: 'image/png',
      buffer: Buffer.from(photographPng({ view: 'crate', marks: 0 })),
    });
    await page.getByRole('img', { name: 'crate.png' }).waitFor();
    await page.getByRole('button', { name: 'Sign this report' }).click();
    await page.getByText(/Signed by Ida Rask/).waitFor();
    await part(page, 'Next').click();
    await page.getByRole('button', { name: 'Move to measuring' }).click();
    await expectStage(page, 'Measuring');
  });

  it('takes a dropped folder and shows the computing live to both', async () => {
    const { page } = ida;
    await page.getByRole('link', { name: /^Heron 3 stand-mount/ }).click();
    await page.getByRole('button', { name: 'Begin, then add files' }).click();
    await bo.page.goto(page.url());
    await bo.page.getByRole('heading', { name: 'First run' }).waitFor();
    await watchProgress(bo.page);
    await watchProgress(page);
    await dropFromDesk(page, 'Drop measurement files', [
      await writeFolder(path.join(folder, 'first run'), withHole),
    ]);
    for (const each of [page, bo.page]) {
      await each.getByText('Data: 1 blocking').waitFor({ timeout: 60_000 });
      const seen = await seenStates(each);
      expect(seen.words).toContain('Computing');
      expect(seen.shares.length).toBeGreaterThan(2);
      expect(seen.shares).toEqual(seen.shares.toSorted((a, b) => a - b));
    }
    await page
      .getByRole('status')
      .filter({ hasText: /^Live$/ })
      .waitFor();
  });

  it('finds the hole while the unit is there, and the missing file fills it', async () => {
    const { page } = ida;
    const plan = page.getByRole('region', { name: 'Measurement plan' });
    await page.getByText(/The horizontal orbit lacks \+40°/).waitFor();
    await plan.getByText('Missing 40 degrees').waitFor();
    await usable(page);
    await writeFolder(folder, hole);
    await chooseFiles(
      page,
      'Choose files',
      hole.map(({ name }) => path.join(folder, name)),
    );
    await page.getByText(/^The data is sound|^Data: \d+ notes?$/).waitFor({ timeout: 60_000 });
    const lines = plan.getByRole('listitem');
    await expect.poll(() => lines.filter({ hasText: 'Horizontal orbit complete' }).count()).toBe(1);
    expect(await lines.filter({ hasText: 'Impedance complete' }).count()).toBe(1);
    expect(await lines.filter({ hasText: 'Multitone missing' }).count()).toBe(1);
    await bo.page.getByText('Horizontal orbit complete').waitFor();
  });

  it('shows results: figures that are read by keyboard, curves off and on, the table behind', async () => {
    const { page } = ida;
    await part(page, 'Results').click();
    const figure = page
      .getByRole('figure')
      .filter({ has: page.getByRole('heading', { name: 'On and off axis' }) });
    const cursor = figure.getByRole('slider');
    await cursor.focus();
    await page.keyboard.press('ArrowRight');
    const here = Number(await cursor.getAttribute('aria-valuenow'));
    await page.keyboard.press('ArrowRight');
    expect(Number(await cursor.getAttribute('aria-valuenow'))).toBeGreaterThan(here);
    const curve = figure.getByRole('button', { name: /^Listening window/ });
    const read = /(\d[\d.]*) dB$/.exec((await curve.textContent()) ?? '')?.[1] ?? 'nothing';
    expect(await cursor.getAttribute('aria-valuetext')).toContain(`Listening window ${read} dB`);
    const hz = Number.parseFloat(
      (await figure
        .getByTitle(/^[\d.]+ Hz$/)
        .first()
        .getAttribute('title')) ?? '',
    );
    expect(Math.abs(Number(read) - (await computedLevel(page, hz)))).toBeLessThan(0.06);

    const drawn = figure.locator('svg[role=slider] path');
    const all = await drawn.count();
    await curve.click();
    expect(await curve.getAttribute('aria-pressed')).toBe('false');
    await expect.poll(() => drawn.count()).toBeLessThan(all);
    await curve.click();
    await expect.poll(() => drawn.count()).toBe(all);

    await figure.getByRole('button', { name: 'Table' }).click();
    const table = figure.getByRole('table');
    expect(await table.getByRole('columnheader').allTextContents()).toContain('Frequency');
    expect(await table.getByRole('row').count()).toBeGreaterThan(30);
    await usable(page);
  });

  it('will not let it go on with holes, unless the owner says why; the history keeps it', async () => {
    const { page } = ida;
    await page.getByRole('link', { name: 'Heron 3', exact: true }).first().click();
    expect(await page.getByRole('button', { name: 'Move to listening' }).isDisabled()).toBe(true);
    const unmet = page.getByRole('listitem').filter({ hasText: 'Not met: Every planned data set' }).first();
    expect(await unmet.textContent()).toMatch(/Open: Heron 3: .*multitone/);
    const move = page.getByRole('heading', { name: 'On to listening' }).locator('../..');
    await move.getByRole('button', { name: 'Move anyway, with a reason' }).click();
    const dialog = page.getByRole('dialog');
    expect(await dialog.getByRole('button', { name: 'Move anyway' }).isDisabled()).toBe(true);
    await dialog.getByLabel('Why it moves all the same').fill(reason);
    await usable(page);
    await dialog.getByRole('button', { name: 'Move anyway' }).click();
    await expectStage(page, 'Listening');
    await part(page, 'History').click();
    const first = page.getByRole('main').getByRole('listitem').filter({ hasText: reason });
    expect(await first.textContent()).toMatch(
      /Ida Rask moved the loan from measuring to listening.*unmet:.*multitone/,
    );
    await usable(page);

    await bo.page.goto(page.url().replace(/\/history$/, ''));
    await expectStage(bo.page, 'Listening');
    expect(await bo.page.getByRole('button', { name: 'Move anyway, with a reason' }).count()).toBe(0);
    ida.watch.expectQuiet();
    bo.watch.expectQuiet();
  });
});

/** A part of the page, or a page of the house, by its words. */
const part = (page: Page, words: string) =>
  page.getByRole('navigation').getByRole('link', { name: new RegExp(`^${words}`) });

/** What the server computed for the listening window of the unit whose page is open, between its points at `hz`. */
async function computedLevel(page: Page, hz: number): Promise<number> {
  const unitId = /\/units\/([^/]+)/.exec(page.url())?.[1] ?? '';
  const origin = new URL(page.url()).origin;
  const get = async <T>(address: string) =>
    (await (await page.request.get(`${origin}${address}`)).json()) as T;
  const [set] = await get<SetView[]>(`/api/units/${unitId}/sets`);
  const { frequencyHz, curves } = await get<{ frequencyHz: number[]; curves: { listeningWindow: number[] } }>(
    set?.analyses[0]?.resultUrl ?? '',
  );
  const above = frequencyHz.findIndex((each) => each >= hz);
  const [low = 0, high = 0] = frequencyHz.slice(above - 1, above + 1);
  const [from = 0, to = 0] = curves.listeningWindow.slice(above - 1, above + 1);
  return from + ((to - from) * Math.log(hz / low)) / Math.log(high / low);
}

async function chooseFiles(
  page: Page,
  button: string,
  files: Parameters<FileChooser['setFiles']>[0],
): Promise<void> {
  const [chooser] = await Promise.all([
    page.waitForEvent('filechooser'),
    page.getByRole('button', { name: button }).click(),
  ]);
  await chooser.setFiles(files);
}

async function expectStage(page: Page, words: string): Promise<void> {
  await page.getByRole('list', { name: `Stage: ${words},` }).waitFor();
}
