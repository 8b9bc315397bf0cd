/** The folder of backups: what lies in it, under names that say when and why. */
import { mkdir, readdir, rm, stat } from 'node:fs/promises';
import path from 'node:path';
import type { BackupCause } from '../contracts/index.js';

export interface KeptBackup {
  readonly name: string;
  readonly cause: BackupCause;
  readonly at: Date;
  readonly bytes: number;
}

const NAME = /^sojourn-(\d{4})(\d\d)(\d\d)T(\d\d)(\d\d)(\d\d)Z-(nightly|by-hand|before-upgrade)\.zip$/;

export function backupName(cause: BackupCause, at: Date): string {
  return `sojourn-${at.toISOString().slice(0, 19).replaceAll(/[-:]/g, '')}Z-${cause}.zip`;
}

/** Names of backups only: nothing else in that folder, and nothing outside it, can be asked for. */
export const isBackupName = (name: string): boolean => NAME.test(name);

/** Newest first; nothing while the folder is not there yet. */
export async function keptBackups(folder: string): Promise<KeptBackup[]> {
  const names = await readdir(folder).catch((error: NodeJS.ErrnoException): string[] => {
    if (error.code !== 'ENOENT') throw error;
    return [];
  });
  const kept: KeptBackup[] = [];
  for (const name of names) {
    const found = NAME.exec(name);
    if (!found) continue;
    const [, year, month, day, hour, minute, second, cause] = found;
    const about = await stat(path.join(folder, name)).catch((error: NodeJS.ErrnoException) => {
      // Removed by another worker in the meantime.
      if (error.code !== 'ENOENT') throw error;
      return undefined;
    });
    if (!about) continue;
    const at = new Date(`${year}-${month}-${day}T${hour}:${minute}:${second}Z`);
    kept.push({ name, cause: cause as BackupCause, at, bytes: about.size });
  }
  return kept.sort((a, b) => b.at.getTime() - a.at.getTime());
}

export async function makeBackupFolder(folder: string): Promise<void> {
  await mkdir(folder, { recursive: true, mode: 0o700 });
}

export async function removeBackup(folder: string, name: string): Promise<void> {
  if (!isBackupName(name)) throw new Error(`Not the name of a backup: ${name}`);
  await rm(path.join(folder, name), { force: true });
}
