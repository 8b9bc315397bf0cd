/** What must hold on every page: usable by everybody, on a desk and on a phone, by day and by night. */
import { AxeBuilder } from '@axe-core/playwright';
import type { Page } from 'playwright-core';
import { expect } from 'vitest';

export const sizes = {
  desktop: { width: 1280, height: 900 },
  phone: { width: 360, height: 740 },
} as const;
export const moods = ['light', 'dark'] as const;
type Size = keyof typeof sizes;
type Mood = (typeof moods)[number];

/** Both sizes and both moods: no serious or critical finding of axe (WCAG rules and its best practices), no sideways scroll. */
export async function expectUsable(page: Page): Promise<void> {
  const found: string[] = [];
  for (const size of Object.keys(sizes) as Size[]) {
    await page.setViewportSize(sizes[size]);
    for (const mood of moods) found.push(...(await obstacles(page, size, mood)));
    found.push(...(await sidewaysScroll(page, size)));
  }
  await page.emulateMedia({ colorScheme: 'light' });
  await page.setViewportSize(sizes.desktop);
  expect(found).toEqual([]);
}

async function obstacles(page: Page, size: Size, mood: Mood): Promise<string[]> {
  await page.emulateMedia({ colorScheme: mood });
  await atRest(page);
  const axe = new AxeBuilder({ page }).setLegacyMode(true);
  // The mood changes colours and nothing else.
  if (mood === 'dark') axe.withRules(['color-contrast', 'link-in-text-block']);
  const { violations } = await axe.analyze();
  return violations
    .filter(({ impact }) => impact === 'serious' || impact === 'critical')
    .flatMap(({ id, impact, nodes }) =>
      nodes.map(
        ({ target, failureSummary }) =>
          `${new URL(page.url()).pathname}, ${size}, ${mood}: ${impact} ${id} at ${target.join(' ')}: ${failureSummary}`,
      ),
    );
}

async function sidewaysScroll(page: Page, size: Size): Promise<string[]> {
  const { content, view } = await page.evaluate(() => ({
    content: document.documentElement.scrollWidth,
    view: document.documentElement.clientWidth,
  }));
  return content > view ? [`${size}: the page is ${content} px wide in a view of ${view} px`] : [];
}

/** Colours and places stand still: two frames without a running animation. */
export async function atRest(page: Page): Promise<void> {
  await page.evaluate(async () => {
    const frame = async () => new Promise((resolve) => requestAnimationFrame(resolve));
    for (let still = 0; still < 2;) {
      await frame();
      still = document.getAnimations().some(({ playState }) => playState === 'running') ? 0 : still + 1;
    }
  });
}
