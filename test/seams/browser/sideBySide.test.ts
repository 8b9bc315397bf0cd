/**
 * Two people at two browsers: what one does the other sees within a second, also after a broken network; two who
 * write the same terms are both heard; an upload that broke goes on where it stopped. The same on both back ends.
 */
import { mkdtemp, rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import path from 'node:path';
import type { Browser } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import type { AnalysisView } from '../../../libs/contracts/index.js';
import { measurementSet } from '../../../seed/files/measurementSet.js';
import { backEnds, makeInstallation, type Installation } from '../installation.js';
import { join, makeUnit, setUpOwner, waitFor, type Visitor } from '../visitor.js';
import { chromiumPath, launchChromium } from './chromium.js';
import { cuttableNetwork, type CuttableNetwork } from './cuttableNetwork.js';
import { keepPictures } from './failures.js';
import { feedHeard, type FeedHeard } from './feedHeard.js';
import { writeFolder } from './measurementFolder.js';
import { expectUsable } from './pageChecks.js';
import { newsSeen, watchNews } from './newsSeen.js';
import { goLive, openBrowserOf, type TeamMember } from './teamMember.js';
import { refusedWith, withoutNetwork } from './watchedPage.js';

/** The promise: a result is on every open dashboard within a second of the job's end. */
const WITHIN_MS = 1000;
const MiB = 1024 * 1024;

describe.skipIf(!chromiumPath).each(backEnds)('two browsers side by side on %s', (backEnd) => {
  let installation: Installation;
  let browser: Browser | undefined;
  let wire: CuttableNetwork | undefined;
  let folder: string;
  let host: Visitor;
  let ida: TeamMember;
  let bo: TeamMember;
  let boHears: FeedHeard;

  beforeAll(async () => {
    installation = await makeInstallation(backEnd);
    folder = await mkdtemp(path.join(tmpdir(), 'sojourn-rig-'));
    const [server, launched] = await Promise.all([installation.start(), launchChromium()]);
    browser = launched;
    host = await setUpOwner(server.url);
    wire = await cuttableNetwork(server.url);
    ida = await openBrowserOf(browser, server.url, host);
    bo = await openBrowserOf(browser, wire.url, await join(host, 'cohost', 'Bo Lind'));
    boHears = feedHeard(bo.page);
  });
  afterAll(async () => {
    await browser?.close();
    await wire?.close();
    await installation.remove();
    await rm(folder, { recursive: true, force: true });
  });

  keepPictures(() => [ida, bo]);

  it('shows a result on both within a second of the job’s end, without a reload', async () => {
    const { unit, setId } = await filledSet(host, 'first');
    await goLive(ida, `/units/${unit.id}`);
    await goLive(bo, `/units/${unit.id}`);
    for (const { page } of [ida, bo]) await watchNews(page);
    await ida.page.getByRole('button', { name: 'Analyse what is here' }).click();
    const done = await finished(host, setId);
    for (const { page } of [ida, bo]) {
      await page.getByText(/^The data is sound$|^Data: /).waitFor();
      await page.getByRole('link', { name: 'Heron 3: results are ready' }).waitFor();
      const { news, results } = await newsSeen(page);
      const told = news.filter(({ title }) => title === 'Heron 3: results are ready');
      expect(told).toHaveLength(1);
      for (const at of [told[0]?.at ?? NaN, results[0] ?? NaN]) {
        expect(at - Date.parse(done.finishedAt ?? '')).toBeLessThan(WITHIN_MS);
      }
    }
    await bo.page.getByRole('listitem').filter({ hasText: 'Impedance complete' }).waitFor();
    ida.watch.expectQuiet();
    bo.watch.expectQuiet();
  });

  it('catches up after a cut network: nothing missed, nothing twice', async () => {
    const { unit, setId } = await filledSet(host, 'while away');
    await goLive(bo, `/units/${unit.id}`);
    await watchNews(bo.page);
    await wire?.cut(bo.context);
    await bo.page.getByRole('status').filter({ hasText: 'Offline' }).waitFor();

    await host.client.requestAnalysis(setId);
    await finished(host, setId);
    const maker = await host.client.addMaker({ name: 'Came while away (invented)' });
    for (const title of ['Plover 1', 'Plover 2', 'Plover 3'])
      await host.client.addLoan({ makerId: maker.id, title });
    expect(await bo.page.getByText(/^The data is sound$|^Data: /).count()).toBe(0);

    await wire?.mend(bo.context);
    await bo.page.getByText(/^The data is sound$|^Data: /).waitFor();
    await bo.page
      .getByRole('status')
      .filter({ hasText: /^Live$/ })
      .waitFor();
    const titles = (await newsSeen(bo.page)).news.map(({ title }) => title);
    expect(titles.filter((title) => title === 'Heron 3: results are ready')).toHaveLength(1);
    await expectHeardAll(host, boHears);

    // And it goes on live: the next event comes by itself.
    await host.client.addLoan({ makerId: maker.id, title: 'Plover 4' });
    await bo.page.getByRole('navigation', { name: 'Main' }).getByRole('link', { name: 'Loans' }).click();
    for (const title of ['Plover 1', 'Plover 2', 'Plover 3', 'Plover 4']) {
      await bo.page.getByRole('link', { name: title }).waitFor();
      expect(await bo.page.getByRole('link', { name: title }).count()).toBe(1);
    }
    await expectHeardAll(host, boHears);
    bo.watch.expectQuiet(withoutNetwork);
  });

  it('tells the second writer of the same terms and shows both', async () => {
    const { loan } = await makeUnit(host);
    for (const member of [ida, bo]) {
      await goLive(member, `/loans/${loan.id}/terms`);
      await member.page.getByRole('button', { name: 'Change the terms' }).click();
    }
    await ida.page.getByLabel('Back with the maker by').fill('2031-07-04');
    await ida.page.getByLabel('Carrier', { exact: true }).fill('Pallet freight');
    await bo.page.getByLabel('Back with the maker by').fill('2031-07-11');
    await bo.page.getByRole('textbox', { name: 'Notes' }).fill('Ring at the side door.');
    await ida.page.getByRole('button', { name: 'Save' }).click();
    await ida.page.getByRole('button', { name: 'Change the terms' }).waitFor();
    await bo.page.getByText('Somebody saved a newer version while you edit').waitFor();
    await bo.page.getByRole('button', { name: 'Save' }).click();

    const dialog = bo.page.getByRole('dialog', { name: 'These terms changed meanwhile' });
    await dialog.getByRole('group', { name: /Back with the maker by/ }).waitFor();
    expect(await dialog.getByRole('radio', { name: /Saved by them: Fri 4 Jul/ }).count()).toBe(1);
    const mine = dialog.getByRole('radio', { name: /Typed by you: Fri 11 Jul/ });
    expect(await dialog.textContent()).toMatch(/They also changed: carrier.*Only you changed: notes/);
    await expectUsable(bo.page);
    expect(await host.client.loan(loan.id)).toMatchObject({ returnBy: '2031-07-04', notes: '' });
    await mine.check();
    await dialog.getByRole('button', { name: 'Save this choice' }).click();
    await ida.page.getByText('Fri 11 Jul 2031').waitFor();
    expect(await host.client.loan(loan.id)).toMatchObject({
      returnBy: '2031-07-11',
      carrier: 'Pallet freight',
      notes: 'Ring at the side door.',
    });
    ida.watch.expectQuiet();
    bo.watch.expectQuiet([refusedWith(409)]);
  });

  it('goes on with an upload that broke in the middle, from where it stopped', async () => {
    const { unit } = await makeUnit(host);
    const set = await host.client.addSet(unit.id, { name: 'from the rig' });
    const [impedance] = measurementSet('sedge-5', { seed: 1, parts: ['impedance'] }).filter(
      ({ name }) => name === 'impedance.csv',
    );
    const large = withLongTail(impedance?.bytes ?? new Uint8Array(), 4 * MiB);
    await writeFolder(folder, [{ name: 'impedance.csv', bytes: large }]);
    await goLive(bo, `/units/${unit.id}`);
    const asked: { method: string; offset: number }[] = [];
    bo.page.on('request', (request) => {
      if (!request.url().includes('/api/uploads')) return;
      asked.push({ method: request.method(), offset: Number(request.headers()['upload-offset'] ?? 0) });
    });
    const broken = wire?.cutAfterBytes(2 * MiB, bo.context);
    const [chooser] = await Promise.all([
      bo.page.waitForEvent('filechooser'),
      bo.page.getByRole('button', { name: 'Choose files' }).click(),
    ]);
    await chooser.setFiles(path.join(folder, 'impedance.csv'));
    await broken;
    await bo.page.getByText('The connection is gone. It goes on from where it stopped.').waitFor();
    await wire?.mend(bo.context);
    await bo.page.getByText('The connection is gone.').waitFor({ state: 'detached' });
    await bo.page.getByText(/^The data is sound$|^Data: /).waitFor();
    const resumed = asked.filter(({ method }) => method === 'PATCH').at(-1);
    expect(resumed?.offset ?? 0).toBeGreaterThan(MiB);
    const { files } = await host.client.set(set.id);
    expect(files.map(({ name }) => name)).toEqual(['impedance.csv']);
    const kept = Buffer.from(await (await host.fetch(`/api/files/${files[0]?.id ?? ''}`)).arrayBuffer());
    expect(kept.equals(Buffer.from(large))).toBe(true);
    bo.watch.expectQuiet(withoutNetwork);
  });
});

async function filledSet(host: Visitor, name: string) {
  const { unit } = await makeUnit(host);
  const set = await host.client.addSet(unit.id, { name });
  for (const file of measurementSet('sedge-5', { seed: 1, parts: ['impedance'] })) {
    expect((await host.put(set.id, file.name, file.bytes)).status).toBe(200);
  }
  return { unit, setId: set.id };
}

async function finished(host: Visitor, setId: string): Promise<AnalysisView> {
  return waitFor(async () => {
    const [newest] = (await host.client.set(setId)).analyses;
    return newest?.state === 'done' ? newest : undefined;
  }, 'the analysis to end');
}

/** Every number of the team's feed since the page's own beginning has come over its wire. */
async function expectHeardAll(host: Visitor, heard: FeedHeard): Promise<void> {
  const { from } = heard.of('team');
  await expect
    .poll(async () => {
      const { events } = await host.client.events('team', from);
      const { numbers } = heard.of('team');
      return events.map(({ number }) => number).filter((number) => !numbers.has(number));
    })
    .toEqual([]);
}

/** The same table with so many lines of comment behind it that it takes a while to send. */
function withLongTail(table: Uint8Array, bytes: number): Uint8Array {
  const line = '# and then the rig went on about what it had done\n';
  return new Uint8Array(Buffer.concat([table, Buffer.from(line.repeat(Math.ceil(bytes / line.length)))]));
}
