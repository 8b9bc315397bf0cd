/** Keeps what a page showed of a computation while it ran: the words of its states and the shares of its bar. */
import type { Page } from 'playwright-core';

export interface Seen {
  readonly words: readonly string[];
  /** 0..1, in the order they were shown. */
  readonly shares: readonly number[];
}

declare global {
  var progressSeen: { words: string[]; shares: number[] };
}

const notComputing = 'Files on their way';

export async function watchProgress(page: Page): Promise<void> {
  await page.evaluate((ignored) => {
    globalThis.progressSeen = { words: [], shares: [] };
    const note = () => {
      for (const bar of document.querySelectorAll('progress')) {
        const words = bar.getAttribute('aria-label') ?? '';
        if (words === ignored) continue;
        const { words: said, shares } = globalThis.progressSeen;
        if (said.at(-1) !== words) said.push(words);
        if (shares.at(-1) !== bar.value) shares.push(bar.value);
      }
    };
    new MutationObserver(note).observe(document.body, { subtree: true, childList: true, attributes: true });
  }, notComputing);
}

export async function seenStates(page: Page): Promise<Seen> {
  return page.evaluate(() => globalThis.progressSeen);
}
