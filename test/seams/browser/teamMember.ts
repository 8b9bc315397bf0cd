/** Somebody of the team with a browser of their own. */
import type { Browser, BrowserContext, Page } from 'playwright-core';
import type { Visitor } from '../visitor.js';
import { sizes } from './pageChecks.js';
import { watch, type Watch } from './watchedPage.js';

export interface TeamMember {
  readonly context: BrowserContext;
  readonly page: Page;
  readonly watch: Watch;
  readonly url: string;
}

/** @param visitor signed in already; without one the browser comes as a stranger */
export async function openBrowserOf(browser: Browser, url: string, visitor?: Visitor): Promise<TeamMember> {
  const context = await browser.newContext({
    viewport: sizes.desktop,
    locale: 'en-GB',
    timezoneId: 'Europe/Berlin',
    reducedMotion: 'reduce',
  });
  // Two cores serve the pages and everything else that is tested.
  context.setDefaultTimeout(45_000);
  if (visitor) {
    const [name = '', value = ''] = visitor.cookie().split('=');
    await context.addCookies([{ name, value, url }]);
  }
  const page = await context.newPage();
  return { context, page, url, watch: watch(page) };
}

/** Opens an address of the dashboard and waits until it hears the server. */
export async function goLive({ page, url }: TeamMember, address: string): Promise<void> {
  await page.goto(`${url}${address}`);
  await page
    .getByRole('status')
    .filter({ hasText: /^Live$/ })
    .waitFor();
}
