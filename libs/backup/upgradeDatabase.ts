/** Bringing a database to this version, with a backup of what was there before anything is changed. */
import path from 'node:path';
import type { BlobStore } from '../blobs/blobStore.js';
import {
  createDatabaseIfMissing,
  filledTables,
  isUpToDate,
  migrate,
  upgradeAhead,
  withUpgradeLock,
} from '../store/index.js';
import { backupName, keptBackups, makeBackupFolder, removeBackup } from './backupFolder.js';
import { BackupRefused } from './backupRefused.js';
import { makeBackup } from './makeBackup.js';
import type { BackupSettings } from './settings.js';

const KEEP_BEFORE_UPGRADE = 3;

interface Upgraded {
  readonly databaseUrl: string;
  readonly blobs: BlobStore;
  readonly backups: BackupSettings;
}

/** @returns the names of the migrations applied now */
export async function upgradeDatabase(
  what: Upgraded,
  say: (line: string) => void,
): Promise<readonly string[]> {
  const { databaseUrl, backups } = what;
  const { migrationsFolder } = backups;
  const isAhead = async () => (await upgradeAhead(databaseUrl, migrationsFolder)).length > 0;
  await createDatabaseIfMissing(databaseUrl);
  if (await isUpToDate(databaseUrl, migrationsFolder)) return [];
  // Several servers may start at once: one of them does it, the others find it done.
  return withUpgradeLock(databaseUrl, async () => {
    if ((await isAhead()) && (await filledTables(databaseUrl)).length > 0) await backUpFirst(what, say);
    return migrate(databaseUrl, migrationsFolder);
  });
}

async function backUpFirst({ databaseUrl, blobs, backups }: Upgraded, say: (line: string) => void) {
  const { folder, application, beforeUpgrade } = backups;
  if (!beforeUpgrade) {
    say('upgrading the database without a backup of it, as SOJOURN_UPGRADE_BACKUP=0 asks');
    return;
  }
  const file = path.join(folder, backupName('before-upgrade', new Date()));
  try {
    await makeBackupFolder(folder);
    await makeBackup({ databaseUrl, blobs, application }, file);
  } catch (error) {
    throw new BackupRefused(
      `This version has to change the database, and the backup before that could not be made: ${(error as Error).message} ` +
        'Nothing was changed. Make room, or set SOJOURN_UPGRADE_BACKUP=0 to go on without one.',
      { cause: error },
    );
  }
  say(`kept a backup from before the upgrade: ${file}`);
  const earlier = (await keptBackups(folder)).filter(({ cause }) => cause === 'before-upgrade');
  for (const { name } of earlier.slice(KEEP_BEFORE_UPGRADE)) await removeBackup(folder, name);
}
