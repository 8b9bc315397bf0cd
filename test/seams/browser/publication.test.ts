/** What readers get: a bundle opened from disk without a network, printed; the public archive; and the way home. */
import { rm } from 'node:fs/promises';
import path from 'node:path';
import { pathToFileURL } from 'node:url';
import type { Browser, Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { photographPng } from '../../../seed/scenario.js';
import { makeInstallation, type Installation } from '../installation.js';
import {
  bundleOf,
  publish,
  reviewedLoan,
  unpack,
  type ReviewedLoan,
  type UnpackedBundle,
} from '../publishedReview.js';
import { join, setUpOwner, visit, type Visitor } from '../visitor.js';
import { chromiumPath, launchChromium } from './chromium.js';
import { expectUsable, sizes } from './pageChecks.js';
import { watch } from './watchedPage.js';

/** ISO 216 A4 in points of 1/72 inch. */
const A4 = { width: (210 / 25.4) * 72, height: (297 / 25.4) * 72 };

describe.skipIf(!chromiumPath)('what is published, in a browser', () => {
  let installation: Installation;
  let browser: Browser;
  let host: Visitor;
  let url: string;
  let first: ReviewedLoan;
  let second: ReviewedLoan;
  let bundle: UnpackedBundle;

  beforeAll(async () => {
    installation = await makeInstallation('embedded');
    const [server, launched] = await Promise.all([installation.start(), launchChromium()]);
    browser = launched;
    url = server.url;
    host = await setUpOwner(url);
    const colleague = await join(host, 'cohost', 'Bo Lind');
    first = await reviewedLoan(host, colleague, 'sedge-3', { unit: 'Heron 3' });
    second = await reviewedLoan(host, colleague, 'sedge-5', { unit: 'Heron 5' });
    await publish(host, first.loanId, { title: 'Heron 3 on a shelf' });
    await publish(host, second.loanId, { title: 'Heron 5 on stands' });
    const { bundleUrl } = await visit(url).client.review(second.loanId);
    bundle = await unpack(await bundleOf(visit(url), bundleUrl));
  });
  afterAll(async () => {
    await browser.close();
    await installation.remove();
    await rm(path.dirname(bundle.folder), { recursive: true, force: true });
  });

  async function withPage(
    options: Parameters<Browser['newContext']>[0],
    work: (page: Page) => Promise<void>,
  ): Promise<void> {
    const context = await browser.newContext({
      viewport: sizes.desktop,
      reducedMotion: 'reduce',
      ...options,
    });
    try {
      context.setDefaultTimeout(20_000);
      const page = await context.newPage();
      const watched = watch(page);
      await work(page);
      watched.expectQuiet();
    } finally {
      await context.close();
    }
  }
  const indexOf = () => pathToFileURL(path.join(bundle.folder, 'index.html')).href;

  it('opens from disk with the network off: figures by cursor, tables, units compared, day and night', async () => {
    await withPage({ offline: true }, async (page) => {
      const asked: string[] = [];
      page.on('request', (request) => {
        if (!/^(file|data):/.test(request.url())) asked.push(request.url());
      });
      await page.goto(indexOf());
      await page.getByRole('heading', { level: 1, name: 'Heron 5 on stands' }).waitFor();
      const figures = page.getByRole('figure');
      await expect.poll(() => figures.count()).toBeGreaterThan(6);
      await expect.poll(() => page.getByRole('slider').count()).toBe(await figures.count());

      const axis = page.locator('#figure-heron-5-on-and-off-axis');
      await axis.getByRole('slider').focus();
      await page.keyboard.press('PageUp');
      await expect
        .poll(() => axis.getByRole('slider').getAttribute('aria-valuetext'))
        .toMatch(/^2 kHz; On axis 8\d/);
      const curve = axis.getByRole('button', { name: /^On axis/ });
      const before = await axis.locator('svg.figure-drawing path.fig-curve').count();
      await curve.click();
      await expect.poll(() => curve.getAttribute('aria-pressed')).toBe('false');
      await expect.poll(() => axis.locator('svg.figure-drawing path.fig-curve').count()).toBeLessThan(before);
      await axis.getByRole('button', { name: 'Show the table' }).click();
      await expect.poll(() => axis.getByRole('row').count()).toBe(61);
      await axis.getByRole('columnheader', { name: 'Frequency' }).waitFor();

      const compare = page.locator('#compare');
      await expect.poll(() => compare.getByRole('button', { name: /^Heron/ }).count()).toBe(2);
      await compare.getByRole('combobox', { name: 'Curve' }).selectOption('soundPower');
      await compare.getByRole('slider', { name: /^Sound power, compared/ }).waitFor();
      await compare.getByRole('checkbox', { name: 'Heron 3' }).uncheck();
      await compare.getByText('Fewer than two of the ticked units').waitFor();
      await compare.getByRole('checkbox', { name: 'Heron 3' }).check();

      const ground = () => page.evaluate(() => getComputedStyle(document.body).backgroundColor);
      const day = await ground();
      await page.getByRole('button', { name: 'Dark page' }).click();
      expect(await ground()).not.toBe(day);
      await page.getByRole('button', { name: 'Light page' }).click();
      await expectUsable(page);
      expect(asked).toEqual([]);
    });
  });

  it('shows its drawings and numbers where no script may run', async () => {
    await withPage({ offline: true, javaScriptEnabled: false }, async (page) => {
      await page.goto(indexOf());
      await expect.poll(() => page.locator('.still svg').count()).toBeGreaterThan(6);
      await expect.poll(() => page.locator('.still svg').first().isVisible()).toBe(true);
    });
  });

  it('prints on A4, two figures to a page, in black on white even at night', async () => {
    await withPage({ offline: true, colorScheme: 'dark' }, async (page) => {
      await page.goto(indexOf());
      await page.locator('html.runs').waitFor();
      const figures = await page.getByRole('figure').count();
      const pdf = (await page.pdf({ preferCSSPageSize: true, printBackground: true })).toString('latin1');
      const sheets = sheetsOf(pdf);
      expect(sheets.length).toBeGreaterThan(figures / 2);
      expect(sheets.length).toBeLessThan(figures + 6);
      for (const { width, height } of sheets) {
        expect(Math.abs(width - A4.width)).toBeLessThan(1);
        expect(Math.abs(height - A4.height)).toBeLessThan(1);
      }
      await page.emulateMedia({ media: 'print' });
      await expect.poll(() => page.locator('.live').first().isVisible()).toBe(false);
      await expect.poll(() => page.locator('.still svg').first().isVisible()).toBe(true);
      expect(await page.evaluate(() => getComputedStyle(document.body).color)).toBe('rgb(0, 0, 0)');
      const widest = await page.evaluate(() =>
        Math.max(
          ...[...document.querySelectorAll('.still svg')].map((svg) => svg.getBoundingClientRect().width),
        ),
      );
      expect(widest).toBeGreaterThan(300);
    });
  });

  it('is searched, read, compared and answered by anybody, without an account', async () => {
    await withPage({}, async (page) => {
      await page.goto(`${url}/reviews`);
      await page.getByRole('heading', { level: 1, name: 'Reviews' }).waitFor();
      await page.getByRole('row').filter({ hasText: 'Heron 3' }).waitFor();
      await expectUsable(page);
      await page.getByLabel('F3, at most').fill('60');
      await page.getByRole('button', { name: 'Search', exact: true }).click();
      await page.getByRole('row').filter({ hasText: 'Heron 3' }).waitFor({ state: 'detached' });
      await page.getByRole('button', { name: 'Start over' }).click();
      await page.getByLabel('Compare Heron 3').check();
      await page.getByLabel('Compare Heron 5').check();
      await page.getByRole('link', { name: 'Lay over each other' }).click();
      await page.getByRole('slider', { name: /^Listening window, compared/ }).waitFor();
      await expectUsable(page);
      await page.getByRole('combobox', { name: 'Curve' }).selectOption('onAxis');
      await page.getByRole('slider', { name: /^On axis, compared/ }).waitFor();

      await page.goto(`${url}/reviews/${second.loanId}`);
      await page.getByRole('heading', { level: 1, name: 'Heron 5 on stands' }).waitFor();
      await page.getByRole('slider').first().waitFor();
      await expectUsable(page);
      await page.getByLabel('Too long').check();
      await page.getByLabel('In your own words').fill('More about bass, please.');
      await page.getByRole('button', { name: 'Send' }).click();
      await page.getByText('Thank you.').waitFor();
      await page.reload();
      await page.getByRole('heading', { name: 'What readers say' }).waitFor();
      await expect.poll(() => page.getByText('More about bass, please.').count()).toBe(0);
    });
  });

  it('is shown by a member, corrected, and the earlier version marked', async () => {
    await withPage({}, async (page) => {
      await signIn(page);
      await page.goto(`${url}/readers`);
      const words = page.getByRole('listitem').filter({ hasText: 'More about bass, please.' });
      await words.getByRole('button', { name: 'Show beside the review' }).click();
      await words.getByText('shown beside the review').waitFor();

      await page.goto(`${url}/loans/${second.loanId}/publish`);
      await page.getByRole('heading', { name: 'Publish a correction' }).waitFor();
      await page.getByLabel('Title for readers').fill('Heron 5 on stands');
      await page.getByLabel('What this version corrects').fill('The price was that of the pair.');
      await page.getByRole('button', { name: 'Publish the correction' }).click();
      // Its progress and its end come live.
      await page.getByText('Published, version 2').waitFor();
      await page.getByText('Superseded, version 1').waitFor();

      await page.goto(`${url}/reviews/${second.loanId}?version=1`);
      await page.getByText('This is version 1; it has been superseded.').waitFor();
      await page.getByText('More about bass, please.').waitFor();
      await page.getByRole('link', { name: 'Read version 2' }).click();
      await page.getByText('The price was that of the pair.').first().waitFor();
      const { versions } = await visit(url).client.review(second.loanId);
      expect(versions.map(({ number }) => number)).toEqual([2, 1]);
    });
  });

  it('follows the crate home: photographs side by side, what is lost settled, a packing list on A4, proof kept', async () => {
    const { client } = host;
    const { loanId, unitId } = first;
    const grille = await client.addAccessory(loanId, { name: 'Grille', expectedCount: 2 });
    const counted = await client.changeAccessory(grille.id, { version: grille.version, arrivedCount: 2 });
    await client.changeAccessory(grille.id, { version: counted.version, returnedCount: 1 });
    for (const moment of ['arrival', 'return'] as const) {
      const report = await client.addReport(loanId, { moment, unitId, condition: 'As new.' });
      await photograph(host, report.id, `${moment}.png`);
    }
    await withPage({}, async (page) => {
      await signIn(page);
      await page.goto(`${url}/loans/${loanId}/crate`);
      await page.getByRole('heading', { name: 'As it came, and as it goes' }).waitFor();
      const beside = page.getByRole('region', { name: 'As it came, and as it goes' });
      await expect.poll(() => beside.getByRole('img').count()).toBe(2);
      const [left, right] = await Promise.all(
        [0, 1].map(async (index) => beside.getByRole('img').nth(index).boundingBox()),
      );
      expect(Math.abs((left?.y ?? 0) - (right?.y ?? 99))).toBeLessThan(2);
      expect(right?.x ?? 0).toBeGreaterThan((left?.x ?? 0) + (left?.width ?? 0) - 1);
      await page.getByRole('button', { name: 'It does not come back…' }).click();
      await page.getByLabel(/^What became of it/).fill('One clip broke; it is paid for.');
      await page.getByRole('button', { name: 'The maker has been told' }).click();
      await page.getByText('The maker was told').waitFor();
      await page.getByLabel('Caption of return.png').fill('Front, before packing');
      await page.getByLabel('Caption of return.png').blur();
      await beside.getByText('Front, before packing').waitFor();
      const chooser = page.waitForEvent('filechooser');
      await page.getByRole('button', { name: 'Add a proof' }).click();
      const slip = { name: 'slip.png', mimeType: 'image/png', buffer: pictureOf() };
      await (await chooser).setFiles(slip);
      await page.getByRole('link', { name: 'slip.png' }).waitFor();

      await page.getByRole('link', { name: 'Packing list to print' }).click();
      await page.getByRole('heading', { name: /^Packing list/ }).waitFor();
      await page.getByText('31 kg: lift with two people').waitFor();
      const sheets = sheetsOf((await page.pdf({ preferCSSPageSize: true })).toString('latin1'));
      expect(sheets).toHaveLength(1);
      expect(Math.abs((sheets[0]?.height ?? 0) - A4.height)).toBeLessThan(1);
    });
    const loan = await client.loan(loanId);
    expect(loan.deliveryProofs.map(({ name }) => name)).toEqual(['slip.png']);
  });

  async function signIn(page: Page): Promise<void> {
    const [name = '', value = ''] = host.cookie().split('=');
    await page.context().addCookies([{ name, value, url }]);
  }
});

const pictureOf = (): Buffer => Buffer.from(photographPng({ view: 'crate', marks: 2 }));

/** By the open protocol of resumable uploads, in one request. */
async function photograph(visitor: Visitor, reportId: string, name: string): Promise<void> {
  const picture = pictureOf();
  const meta = { reportId, filename: name };
  const coded = Object.entries(meta).map(([key, value]) => `${key} ${Buffer.from(value).toString('base64')}`);
  const answer = await visitor.fetch('/api/uploads', {
    method: 'POST',
    headers: {
      'tus-resumable': '1.0.0',
      'upload-length': String(picture.length),
      'upload-metadata': coded.join(','),
      'content-type': 'application/offset+octet-stream',
    },
    body: new Uint8Array(picture),
  });
  expect(answer.status).toBe(201);
}

/** The size of every sheet, in points, as the PDF itself says. */
const sheetsOf = (pdf: string): { width: number; height: number }[] =>
  [...pdf.matchAll(/\/MediaBox \[0 0 ([\d.]+) ([\d.]+)\]/g)].map(([, width, height]) => ({
    width: Number(width),
    height: Number(height),
  }));
