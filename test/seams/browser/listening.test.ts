/**
 * In the listening room: a phone whose network goes away, a listener who must not see results before their session is
 * sealed, and a colleague at the desk who may. The pages look the same on either back end: once is enough.
 */
import type { Browser, Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import type { ListeningView } from '../../../libs/contracts/index.js';
import { measurementSet } from '../../../seed/files/measurementSet.js';
import { makeInstallation, type Installation } from '../installation.js';
import { join, makeUnit, setUpOwner, waitFor, type Visitor } from '../visitor.js';
import { chromiumPath, launchChromium } from './chromium.js';
import { cuttableNetwork, type CuttableNetwork } from './cuttableNetwork.js';
import { keepPictures, stopAtFirst } from './failures.js';
import { expectUsable, sizes } from './pageChecks.js';
import { goLive, openBrowserOf, type TeamMember } from './teamMember.js';
import { refusedWith, withoutNetwork } from './watchedPage.js';

describe.skipIf(!chromiumPath)('listening in the browser', () => {
  let installation: Installation;
  let browser: Browser | undefined;
  let wire: CuttableNetwork | undefined;
  let host: Visitor;
  let ida: TeamMember;
  let bo: TeamMember;
  let unitId: string;
  let loanId: string;

  beforeAll(async () => {
    installation = await makeInstallation('embedded');
    const [server, launched] = await Promise.all([installation.start(), launchChromium()]);
    browser = launched;
    host = await setUpOwner(server.url);
    wire = await cuttableNetwork(server.url);
    const made = await makeUnit(host);
    [unitId, loanId] = [made.unit.id, made.loan.id];
    await analysed(host, unitId);
    ida = await openBrowserOf(browser, server.url, host);
    bo = await openBrowserOf(browser, wire.url, await join(host, 'cohost', 'Bo Lind'));
    await bo.page.setViewportSize(sizes.phone);
  });
  afterAll(async () => {
    await browser?.close();
    await wire?.close();
    await installation.remove();
  });
  keepPictures(() => [ida, bo]);
  stopAtFirst();

  const mark = (words: RegExp) => bo.page.getByRole('status').filter({ hasText: words });
  const sessionOnServer = async (): Promise<ListeningView> => {
    const { listening } = await host.client.loan(loanId);
    expect(listening).toHaveLength(1);
    const [session] = listening;
    if (!session) throw new Error('No session.');
    return session;
  };

  it('begins blind on a phone, with a line and a tap for each remark', async () => {
    const { page } = bo;
    await goLive(bo, `/units/${unitId}`);
    await page.getByRole('heading', { name: /You have not seen this unit’s data/ }).waitFor();
    await page.getByRole('link', { name: 'Listen first' }).click();
    await page.getByRole('button', { name: 'Begin a listening session' }).click();
    await mark(/Sent/).waitFor();
    await page.getByRole('button', { name: 'harsh' }).click();
    await page.getByLabel('In one line').fill('boomy 4 left cello');
    await page.keyboard.press('Enter');
    await page.getByRole('listitem').filter({ hasText: 'boomy' }).first().waitFor();
    await mark(/Sent/).waitFor();
    await expectUsable(page);
    await page.setViewportSize(sizes.phone);
    bo.watch.expectQuiet();
  });

  it('takes a range by dragging and by keys', async () => {
    const { page } = bo;
    const strip = page.getByRole('group', { name: 'Range of boomy' });
    const from = strip.getByRole('slider', { name: /from$/ });
    expect(Number(await from.getAttribute('aria-valuenow'))).toBe(60);
    await from.focus();
    await page.keyboard.press('PageUp');
    expect(Number(await from.getAttribute('aria-valuenow'))).toBe(75.6);
    const box = await strip.locator('.strip-bed').boundingBox();
    if (!box) throw new Error('The strip has no place on the page.');
    const across = (share: number) => [box.x + share * box.width, box.y + box.height / 2] as const;
    await page.mouse.move(...across(0.6));
    await page.mouse.down();
    await page.mouse.move(...across(0.7), { steps: 4 });
    await page.mouse.up();
    // 20 Hz to 20 kHz across three decades.
    const to = strip.getByRole('slider', { name: /up to$/ });
    expect(Number(await from.getAttribute('aria-valuenow')) / (20 * 10 ** 1.8)).toBeCloseTo(1, 1);
    expect(Number(await to.getAttribute('aria-valuenow')) / (20 * 10 ** 2.1)).toBeCloseTo(1, 1);
    await mark(/Sent/).waitFor();
  });

  it('plays a quiet tone that Escape stops, and takes its frequency', async () => {
    const { page } = bo;
    await page.getByText('Find the frequency by ear').click();
    await page.getByRole('button', { name: 'Play the tone quietly' }).click();
    await page.getByRole('button', { name: /^Stop/ }).waitFor();
    await page.getByRole('slider', { name: /^Frequency/ }).focus();
    await page.keyboard.press('PageUp');
    expect(await page.getByRole('slider', { name: /^Frequency/ }).getAttribute('aria-valuetext')).toBe(
      '554 Hz',
    );
    await page.keyboard.press('Escape');
    await page.getByRole('button', { name: 'Play the tone quietly' }).waitFor();
    await page.getByRole('button', { name: 'Use this frequency in the open remark' }).click();
    const strip = page.getByRole('group', { name: 'Range of boomy' });
    // A third of an octave about 554 Hz (IEC 61260-1).
    await expect
      .poll(() => strip.getByRole('slider', { name: /from$/ }).getAttribute('aria-valuenow'))
      .toBe('494');
    await expect
      .poll(() => strip.getByRole('slider', { name: /up to$/ }).getAttribute('aria-valuenow'))
      .toBe('622');
    await mark(/Sent/).waitFor();
  });

  it('writes on without a network, loads anew without one, and sends it all once the network is back', async () => {
    const { page, context } = bo;
    await expect
      .poll(() =>
        page.evaluate(async () => (await caches.match('/', { cacheName: 'sojourn-shell' }))?.status),
      )
      .toBe(200);
    await wire?.cut(context);
    await page.getByRole('button', { name: 'sibilant' }).click();
    await mark(/Kept here, not sent yet/).waitFor();
    await page.reload();
    await page.getByRole('heading', { name: 'No network' }).waitFor();
    await page.getByRole('listitem').filter({ hasText: 'sibilant' }).first().waitFor();
    await page.getByLabel('In one line').fill('weak bass organ');
    await page.keyboard.press('Enter');
    await page.getByLabel('Free words').fill('A little forward, and quick.');
    await mark(/Kept here, not sent yet/).waitFor();
    expect((await sessionOnServer()).remarks).toHaveLength(2);

    await wire?.mend(context);
    await mark(/Sent/).waitFor();
    await page.getByRole('heading', { name: 'Heron 3', level: 1 }).waitFor();
    const { remarks, words } = await sessionOnServer();
    expect(remarks.map(({ descriptor }) => descriptor)).toEqual(['harsh', 'boomy', 'sibilant', 'weak bass']);
    expect(words).toBe('A little forward, and quick.');
    bo.watch.expectQuiet(withoutNetwork);
  });

  it('shows the blind listener no result on any page, while a colleague sees them all', async () => {
    await goLive(ida, `/units/${unitId}/results`);
    await ida.page.getByRole('button', { name: 'Open the data' }).click();
    await ida.page.getByRole('figure').first().waitFor();
    const numbers = await ida.page.locator('.glance dd .quantity').allTextContents();
    const { findings } = await host.client.evidence(unitId);
    const secrets = [...numbers, ...findings.map(({ words }) => words), 'blocking', 'complete'];
    expect(secrets.length).toBeGreaterThan(8);
    for (const address of [
      '/',
      `/loans/${loanId}`,
      `/loans/${loanId}/verdict`,
      `/loans/${loanId}/history`,
      `/units/${unitId}`,
      `/units/${unitId}/results`,
      `/units/${unitId}/evidence`,
      `/units/${unitId}/listening`,
      '/archive',
      '/history',
    ]) {
      await goLive(bo, address);
      await bo.page.getByRole('heading', { level: 1 }).waitFor();
      await expect.poll(() => bo.page.locator('.loading').count(), { message: address }).toBe(0);
      const words = (await bo.page.getByRole('main').textContent()) ?? '';
      const seen = secrets.filter((secret) => words.includes(secret));
      expect({ address, seen, blank: words.length < 20 }).toEqual({ address, seen: [], blank: false });
    }
    await goLive(bo, `/units/${unitId}/evidence`);
    await bo.page.getByRole('heading', { name: 'Sealed until you seal your session' }).waitFor();
    await expectUsable(bo.page);
    await bo.page.setViewportSize(sizes.phone);
    bo.watch.expectQuiet([refusedWith(403)]);
  });

  it('seals, and both see what was heard against what was measured', async () => {
    const { page } = bo;
    await page.getByRole('link', { name: 'To your session' }).click();
    await page.getByRole('button', { name: 'Seal the session' }).click();
    await page.getByRole('dialog').getByRole('button', { name: 'Seal it' }).click();
    await page.getByText(/blind: before its author had seen data/).waitFor();
    await page.getByLabel('Add something after the seal').fill('bright 3');
    await page.getByRole('button', { name: 'Add after the seal' }).click();
    await page.getByRole('heading', { name: 'Added after the seal' }).waitFor();
    await page.getByRole('link', { name: 'The seal, and how to check it' }).click();
    await page.getByText('The seal holds: what stands here is what was sealed.').waitFor();
    await page.getByText('taken again by the server and by this page').waitFor();
    await expectUsable(page);
    await page.setViewportSize(sizes.phone);
    await goLive(bo, `/units/${unitId}/evidence`);
    await page.getByRole('button', { name: 'Open the data' }).click();
    await goLive(ida, `/units/${unitId}/evidence`);
    for (const each of [page, ida.page]) {
      await each.getByRole('heading', { name: 'Heard and measured' }).waitFor();
      await each
        .getByText(/points to .* as too much; measured there/)
        .first()
        .waitFor();
    }
  });

  it('lets pairs be refused, put together and taken back, live for both', async () => {
    const paired = (page: Page) => page.getByRole('region', { name: 'Heard and measured' });
    const refuse = paired(ida.page)
      .getByRole('button', { name: /^Refuse harsh/ })
      .first();
    await refuse.click();
    await ida.page.getByLabel('Why they do not belong together').fill('It was the window pane.');
    await ida.page.getByRole('button', { name: 'Refuse the pair' }).click();
    await paired(bo.page).getByText('refused by Ida Rask').first().waitFor();
    await paired(bo.page).getByText('Note: It was the window pane.').waitFor();
    await paired(bo.page)
      .getByRole('button', { name: /^Confirm harsh/ })
      .first()
      .click();
    await paired(ida.page).getByText('confirmed by Bo Lind').waitFor();

    await ida.page.getByRole('radio', { name: 'what was measured' }).check();
    const findings = ida.page.getByRole('region', { name: 'Findings' });
    const unheard = findings.getByRole('button', { name: /heard by nobody/ }).first();
    const name = ((await unheard.textContent()) ?? '').replace(/\s*heard by nobody.*/, '');
    await unheard.click();
    await findings.getByLabel('Somebody else heard it').selectOption({ label: 'sibilant, Bo Lind' });
    await findings.getByRole('button', { name: 'Put together' }).click();
    await findings.getByText('put together by hand by Ida Rask').waitFor();
    await bo.page.getByRole('radio', { name: 'what was measured' }).check();
    await bo.page.getByRole('button', { name: `${name} heard by 1 person` }).waitFor();
    await expectUsable(ida.page);
    await findings.getByRole('button', { name: /^Take it apart/ }).click();
    await bo.page.getByRole('button', { name: `${name} heard by nobody` }).waitFor();
    ida.watch.expectQuiet();
    bo.watch.expectQuiet();
  });
});

async function analysed(host: Visitor, unitId: string): Promise<void> {
  const set = await host.client.addSet(unitId, { name: 'on the rig' });
  for (const { name, bytes } of measurementSet('sedge-5', { seed: 1, parts: ['horizontal', 'vertical'] }))
    await host.put(set.id, name, bytes);
  const { id } = await host.client.requestAnalysis(set.id);
  await waitFor(async () => {
    const [loan] = await host.client.loans();
    const { running } = await host.client.dashboard();
    return loan && running.every((one) => one.id !== id) ? true : undefined;
  }, 'the analysis to end');
}
