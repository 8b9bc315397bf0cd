/** A backup into an empty database and an empty store of files: the same rows, the same files, then today's tables. */
import { migrate } from '../store/index.js';
import type { BlobStore } from '../blobs/blobStore.js';
import { fillTables } from '../store/index.js';
import { BackupRefused } from './backupRefused.js';
import { fileEntry, tableEntry } from './manifest.js';
import type { OpenBackup } from './readBackup.js';

export interface RestoreTarget {
  readonly databaseUrl: string;
  readonly blobs: BlobStore;
  readonly migrationsFolder: string;
}

/** The caller has seen to it that the target is empty and the backup whole. */
export async function restoreBackup(
  backup: OpenBackup,
  { databaseUrl, blobs, migrationsFolder }: RestoreTarget,
): Promise<{ migrated: readonly string[] }> {
  const { manifest } = backup;
  // Its own tables first, so that its rows fit; what came later is brought to the filled ones.
  await migrate(databaseUrl, migrationsFolder, manifest.migrations);
  for (const { sha256 } of manifest.files) {
    const kept = await blobs.keep(await backup.open(fileEntry(sha256)));
    if (kept.sha256 !== sha256)
      throw new BackupRefused(`The file ${sha256.slice(0, 12)} came out of the backup changed.`);
  }
  const tables = manifest.tables.map((table) => ({
    ...table,
    open: () => backup.open(tableEntry(table.name)),
  }));
  await fillTables(databaseUrl, tables, manifest.sequences);
  return { migrated: await migrate(databaseUrl, migrationsFolder) };
}
