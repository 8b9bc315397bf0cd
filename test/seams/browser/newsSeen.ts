/** Keeps when a page showed what, on the page's own clock. */
import type { Page } from 'playwright-core';

export interface NewsSeen {
  /** What appeared among the news, in order, each time it appeared. */
  readonly news: readonly { readonly title: string; readonly at: number }[];
  /** When the state of a finished analysis appeared, Unix milliseconds. */
  readonly results: readonly number[];
}

declare global {
  var newsSeen: { news: { title: string; at: number }[]; results: number[] };
}

export async function watchNews(page: Page): Promise<void> {
  await page.evaluate(() => {
    const seen: typeof globalThis.newsSeen = { news: [], results: [] };
    globalThis.newsSeen = seen;
    const place = document.querySelector('[aria-live=polite][aria-label=News]');
    if (!place) throw new Error('The page has no place for news.');
    new MutationObserver((changes) => {
      for (const { addedNodes } of changes) {
        for (const node of addedNodes) {
          const title = node instanceof Element ? node.querySelector('strong')?.textContent : undefined;
          if (title) seen.news.push({ title, at: Date.now() });
        }
      }
    }).observe(place, { childList: true });
    new MutationObserver(() => {
      const words = document.getElementById('main')?.textContent ?? '';
      if (seen.results.length === 0 && /The data is sound|Data: \d/.test(words))
        seen.results.push(Date.now());
    }).observe(document.body, { subtree: true, childList: true, characterData: true });
  });
}

export async function newsSeen(page: Page): Promise<NewsSeen> {
  return page.evaluate(() => globalThis.newsSeen);
}
