/** Everything a page complains about: console errors (a breach of the content policy is one), faults, 5xx answers. */
import type { Page } from 'playwright-core';
import { expect } from 'vitest';

export interface Watch {
  /** Fails with every complaint that is not expected; then forgets them. */
  expectQuiet(expected?: readonly RegExp[]): void;
}

export function watch(page: Page): Watch {
  let complaints: string[] = [];
  const complain = (what: string) => complaints.push(`${what} (on ${page.url()})`);
  page.on('console', (message) => {
    if (message.type() === 'error') complain(`console: ${message.text()} ${message.location().url}`);
  });
  page.on('pageerror', (error) => complain(`fault: ${error.message}`));
  page.on('response', (answer) => {
    if (answer.status() >= 500) complain(`answer ${answer.status()}: ${answer.url()}`);
  });
  return {
    expectQuiet: (expected = []) => {
      const loud = complaints.filter((complaint) => !expected.some((each) => each.test(complaint)));
      complaints = [];
      expect(loud).toEqual([]);
    },
  };
}

/** What a browser itself writes into the console when a request can't reach the server. */
export const withoutNetwork = [/net::ERR_/];
/** The browser notes every refusal; these are part of the story. */
export const refusedWith = (status: number): RegExp =>
  new RegExp(`console: Failed to load resource: the server responded with a status of ${status}`);
