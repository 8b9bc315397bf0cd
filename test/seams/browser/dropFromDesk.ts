/** Drags files or folders from the desk onto a page, as a hand would: through the browser's own input. */
import type { Page } from 'playwright-core';

export async function dropFromDesk(page: Page, ontoText: string, files: readonly string[]): Promise<void> {
  const target = page.getByText(ontoText);
  await target.scrollIntoViewIfNeeded();
  const box = await target.boundingBox();
  if (!box) throw new Error(`Nothing on the page says “${ontoText}”.`);
  const input = await page.context().newCDPSession(page);
  const at = { x: box.x + box.width / 2, y: box.y + box.height / 2 };
  const data = { items: [], files: [...files], dragOperationsMask: 1 };
  for (const type of ['dragEnter', 'dragOver', 'drop'] as const) {
    await input.send('Input.dispatchDragEvent', { type, ...at, data });
  }
  await input.detach();
}
