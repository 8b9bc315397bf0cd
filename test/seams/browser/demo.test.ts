/** The invented demo as somebody sees it who looks around: what is late and at risk, figures, and every page usable. */
import { mkdtemp } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import path from 'node:path';
import type { Browser, Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { DEMO_PASSWORD, type LoanSummary } from '../../../libs/contracts/index.js';
import { demoTeam } from '../../../seed/scenario/team.js';
import { demoScenario } from '../../../seed/scenario.js';
import { makeInstallation, type Installation } from '../installation.js';
import { everyLoan, visit, type Visitor } from '../visitor.js';
import { chromiumPath, launchChromium } from './chromium.js';
import { keepPictures } from './failures.js';
import { atRest, expectUsable, moods, sizes } from './pageChecks.js';
import { goLive, openBrowserOf, type TeamMember } from './teamMember.js';

/** It is loaded loan by loan: all of them must be there, not only nothing at work. */
const demoLoans = demoScenario({ seed: 1, today: '2026-03-02' }).loans.length;

const DEMO_PATIENCE_MS = 150_000;

describe.skipIf(!chromiumPath)('the invented demo', () => {
  let installation: Installation;
  let browser: Browser | undefined;
  let mira: TeamMember;
  let host: Visitor;
  let loans: readonly LoanSummary[];
  let sealedSession: string;

  beforeAll(async () => {
    installation = await makeInstallation('embedded');
    const [server, launched] = await Promise.all([
      installation.start({ SOJOURN_DEMO: '1' }),
      launchChromium(),
    ]);
    browser = launched;
    host = visit(server.url);
    await host.client.signIn({ email: demoTeam.people[0]?.email ?? '', password: DEMO_PASSWORD });
    mira = await openBrowserOf(browser, server.url);
  });
  afterAll(async () => {
    await browser?.close();
    await installation.remove();
  });
  keepPictures(() => [mira]);

  /** Opens an address and waits until its data is there. */
  async function part(address: string): Promise<void> {
    await goLive(mira, address);
    await mira.page.getByRole('heading', { level: 1 }).waitFor();
    await mira.page.waitForLoadState('networkidle');
  }
  const loanOf = (title: string) => loans.find((loan) => loan.title.startsWith(title))?.id ?? '';
  const unitOf = (name: string) =>
    loans.flatMap(({ units }) => units).find((unit) => unit.name === name)?.id ?? '';
  const measuredUnits = () =>
    ['Sedge 5', 'Whin 15', 'Lumen 6', 'Gravel 12', 'Plane 2'].map((name) => ({ name, unitId: unitOf(name) }));
  const everyPage: readonly (readonly [string, () => string])[] = [
    ['today', () => '/'],
    ['all loans', () => '/loans'],
    ['a new loan', () => '/loans/new'],
    ['a loan that is late', () => `/loans/${loanOf('Whin 15')}`],
    ['terms', () => `/loans/${loanOf('Strand 7')}/terms`],
    ['a crate', () => `/loans/${loanOf('Strand 7')}/crate`],
    ['a verdict', () => `/loans/${loanOf('Reedmace')}/verdict`],
    ['a loan’s history', () => `/loans/${loanOf('Reedmace')}/history`],
    ['faulty data', () => `/units/${unitOf('Strand 7')}`],
    ['results', () => `/units/${unitOf('Sedge 5')}/results`],
    ['data not opened', () => `/units/${unitOf('Fen 8')}`],
    ['listening', () => `/units/${unitOf('Fen 8')}/listening`],
    ['evidence', () => `/units/${unitOf('Sedge 5')}/evidence`],
    ['a seal', () => `/listening/${sealedSession}`],
    ['how a review was listened to', () => `/published/${loanOf('Sedge 5')}/listening`],
    ['a unit’s papers', () => `/units/${unitOf('Sedge 5')}/about`],
    ['the week', () => '/plan'],
    ['what should change', () => '/plan/proposal'],
    ['the workload', () => '/plan/workload'],
    ['what if', () => '/plan/what-if'],
    ['hours and places', () => '/plan/hours'],
    ['work by kind', () => '/plan/work'],
    ['the archive', () => '/archive'],
    ['cautions', () => '/cautions'],
    ['makers', () => '/makers'],
    ['a maker', () => `/makers/${loans.find(({ title }) => title.startsWith('Strand 7'))?.makerId ?? ''}`],
    ['people', () => '/people'],
    ['backups', () => '/backups'],
    ['oneself', () => '/you'],
    ['the history', () => '/history'],
    ['what is published', () => '/published'],
    ['publishing a loan’s review', () => `/loans/${loanOf('Reedmace')}/publish`],
    ['a crate on its way home', () => `/loans/${loanOf('Whin 4')}/crate`],
    ['a packing list', () => `/loans/${loanOf('Whin 4')}/packing-list`],
    ['what readers say', () => '/readers'],
    ['nothing', () => '/nowhere'],
  ];

  it(
    'opens at a press, marked invented, and its results arrive through the queue',
    async () => {
      const { page } = mira;
      await page.goto(mira.url);
      await page.getByRole('button', { name: /^Sign in as Mira/ }).waitFor();
      await expectUsable(page);
      await page.getByRole('button', { name: /^Sign in as Mira/ }).click();
      await page
        .getByRole('banner')
        .getByText(/invented/)
        .first()
        .waitFor();
      // Asked for rarely: two cores have enough to do.
      await expect
        .poll(
          async () => {
            const { running } = await host.client.dashboard();
            loans = await everyLoan(host);
            return { running: running.length, loans: loans.length };
          },
          { timeout: DEMO_PATIENCE_MS, interval: 1000 },
        )
        .toEqual({ running: 0, loans: demoLoans });
      await page.getByRole('region', { name: 'Being computed' }).waitFor({ state: 'detached' });
      const { listening } = await host.client.loan(loanOf('Sedge 5'));
      sealedSession = listening.find(({ sealedAt }) => sealedAt)?.id ?? '';
    },
    2 * DEMO_PATIENCE_MS,
  );

  it('shows which loan will go back late and which is at risk', async () => {
    const { page } = mira;
    const late = titled(loans, ({ plan }) => plan.urgency === 'late');
    const atRisk = titled(loans, ({ plan }) => plan.urgency === 'at-risk');
    expect(late).toEqual(['Whin 15 horn']);
    expect(atRisk).toContain('Reedmace C centre');
    await page.getByRole('heading', { level: 1, name: /Whin 15 horn will go back late/ }).waitFor();
    await page
      .getByText(/for an extension to \w{3} \d/)
      .first()
      .waitFor();
    for (const title of [...late, ...atRisk]) {
      // On the time line and again among what is needed.
      await expect
        .poll(() => page.getByRole('main').getByRole('link', { name: title }).count(), {
          message: title,
        })
        .toBeGreaterThan(1);
    }
    await part('/loans');
    expect(await page.getByRole('row').filter({ hasText: 'Whin 15 horn' }).textContent()).toContain('late');
    expect(await page.getByRole('row').filter({ hasText: 'Reedmace C centre' }).textContent()).toContain(
      'at risk',
    );
    mira.watch.expectQuiet();
  });

  it('shows figures for every unit that was measured, and what is wrong with the faulty set', async () => {
    const { page } = mira;
    for (const { unitId, name } of measuredUnits()) {
      await part(`/units/${unitId}/results`);
      await openData(page);
      await expect.poll(() => page.getByRole('figure').count(), { message: name }).toBeGreaterThan(0);
      await expect
        .poll(() => page.getByRole('slider').count(), { message: name })
        .toBe(await page.getByRole('figure').count());
    }
    await part(`/units/${unitOf('Strand 7')}`);
    await openData(page);
    for (const fault of [
      /lacks \+40°/,
      /exactly the numbers of/,
      /above its neighbours/,
      /opposite polarity/,
    ]) {
      await page.getByText(fault).waitFor();
    }
    await page.getByRole('button', { name: 'Show the evidence' }).first().click();
    await page.getByRole('figure').waitFor();
    mira.watch.expectQuiet();
  });

  it.each(everyPage)(
    'the page of %s can be used by everybody, on a desk or a phone, by day or night',
    async (_, address) => {
      await part(address());
      await expectUsable(mira.page);
      mira.watch.expectQuiet();
    },
  );

  it('keeps pictures of what it looks like', async () => {
    const folder = await mkdtemp(path.join(tmpdir(), 'sojourn-pictures-'));
    for (const [name, address] of [
      ['today', '/'],
      ['week', '/plan'],
      ['loan', `/loans/${loanOf('Whin 15')}`],
      ['data', `/units/${unitOf('Strand 7')}`],
      ['results', `/units/${unitOf('Sedge 5')}/results`],
    ] as const) {
      await part(address);
      for (const [size, view] of Object.entries(sizes)) {
        await mira.page.setViewportSize(view);
        for (const mood of moods) {
          await mira.page.emulateMedia({ colorScheme: mood });
          await atRest(mira.page);
          const picture = await mira.page.screenshot({
            path: path.join(folder, `${name}-${size}-${mood}.png`),
          });
          expect(picture.length).toBeGreaterThan(10_000);
        }
      }
    }
    console.info(`pictures of the demo are in ${folder}`);
  });
});

const titled = (loans: readonly LoanSummary[], which: (loan: LoanSummary) => boolean): string[] =>
  loans.filter(which).map(({ title }) => title);

/** Goes through the door before a unit's data, where it stands. */
async function openData(page: Page): Promise<void> {
  const door = page.getByRole('button', { name: 'Open the data' });
  if (await door.isVisible()) await door.click();
}
