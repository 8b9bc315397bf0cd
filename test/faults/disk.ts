/** A disk of its own for an installation, small enough to be filled; and filling it. */
import { spawnSync } from 'node:child_process';
import { rm, statfs } from 'node:fs/promises';
import path from 'node:path';

const FILLER = 'filler';

/** @returns whether this user may mount one; its homes lie on the ordinary disk otherwise */
export function mountDisk(folder: string, megabytes: number): boolean {
  if (process.platform !== 'linux') return false;
  return (
    spawnSync('mount', ['-t', 'tmpfs', '-o', `size=${megabytes}m,mode=0755`, 'tmpfs', folder]).status === 0
  );
}

export function unmountDisk(folder: string): void {
  const { status, stderr } = spawnSync('umount', ['-l', folder]);
  if (status !== 0) console.error(`The disk at ${folder} stays: ${stderr.toString('utf8').trim()}`);
}

/** @returns gives the room back */
export async function fillDisk(folder: string): Promise<() => Promise<void>> {
  const file = path.join(folder, FILLER);
  for (let tries = 0; tries < 5; tries++) {
    const { bavail, bsize } = await statfs(folder);
    if (bavail === 0) break;
    // Fails when others were quicker; what it got stays taken.
    spawnSync('fallocate', ['-l', String(bavail * bsize), `${file}-${tries}`]);
  }
  return async () => {
    for (let tries = 0; tries < 5; tries++) await rm(`${file}-${tries}`, { force: true });
  };
}
