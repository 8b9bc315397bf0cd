/** When a test fails its pages are kept as pictures; of a story told in several tests, the later ones don't run. */
import { mkdtemp } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { beforeEach } from 'vitest';
import type { TeamMember } from './teamMember.js';

type Members = () => readonly (TeamMember | undefined)[];

export function keepPictures(members: Members): void {
  beforeEach(({ onTestFailed, task }) => {
    onTestFailed(async () => {
      const folder = await mkdtemp(path.join(tmpdir(), 'sojourn-failed-'));
      for (const [index, member] of members().entries()) {
        await member?.page.screenshot({ path: path.join(folder, `${index + 1}.png`), fullPage: true });
      }
      console.error(`${task.name}: what the pages showed is in ${folder}`);
    });
  });
}

export function stopAtFirst(): void {
  let failed = false;
  beforeEach(({ skip, onTestFailed }) => {
    if (failed) skip('an earlier part of the story failed');
    onTestFailed(() => {
      failed = true;
    });
  });
}
