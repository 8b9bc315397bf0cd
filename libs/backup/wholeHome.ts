/** Backing up and restoring a whole installation from the command line, whether or not its server runs. */
import { access, mkdir, readdir, rm, writeFile } from 'node:fs/promises';
import path from 'node:path';
import { openBlobStore } from '../blobs/openBlobStore.js';
import {
  filledTables,
  liveDatabaseUrl,
  lockHome,
  migrationNames,
  openHome,
  startEmbeddedDatabase,
  type Home,
} from '../store/index.js';
import { BackupRefused } from './backupRefused.js';
import { makeBackup, type BackupMade } from './makeBackup.js';
import type { Manifest } from './manifest.js';
import { openBackup, type OpenBackup } from './readBackup.js';
import { restoreBackup } from './restoreBackup.js';
import type { BackupSettings } from './settings.js';

export interface WholeHome {
  readonly homeFolder: string;
  readonly env: NodeJS.ProcessEnv;
  readonly settings: BackupSettings;
  readonly say: (line: string) => void;
}

const UNFINISHED = 'restore.unfinished';

const isThere = (file: string): Promise<boolean> =>
  access(file).then(
    () => true,
    () => false,
  );

/** A home that a restore began to fill is nobody's to start on. */
export async function refuseHalfRestored(home: Home): Promise<void> {
  if (!(await isThere(home.path(UNFINISHED)))) return;
  throw new BackupRefused(
    `A restore into ${home.folder} was not finished. Run it again: npm run restore -- FILE`,
  );
}

export async function backUpHome(whole: WholeHome, file: string): Promise<BackupMade> {
  const { homeFolder, env, settings } = whole;
  if (!env['DATABASE_URL'] && !(await isThere(path.join(homeFolder, 'database', 'PG_VERSION')))) {
    throw new BackupRefused(
      `There is nothing to back up in ${homeFolder}. Set SOJOURN_HOME to the folder that "npm start" prints as home.`,
    );
  }
  const home = await openHome(homeFolder);
  const blobs = await openBlobStore(env, home.path('blobs'));
  const backUp = (databaseUrl: string) =>
    makeBackup({ databaseUrl, blobs, application: settings.application }, path.resolve(file));
  const running = env['DATABASE_URL'] ?? (await liveDatabaseUrl(home));
  return running === undefined ? withDatabase(whole, home, backUp) : backUp(running);
}

/** Checks all of the backup, then that there is nothing to overwrite, and only then writes. */
export async function restoreHome(whole: WholeHome, file: string): Promise<Manifest> {
  const { homeFolder, env, settings, say } = whole;
  say(`checking ${file}`);
  const backup = await openBackup(file, await migrationNames(settings.migrationsFolder));
  try {
    const begun = await isThere(path.join(homeFolder, UNFINISHED));
    if (!begun) await insistOnEmpty(whole);
    if (env['DATABASE_URL']) await insistOnEmptyDatabase(env['DATABASE_URL']);
    await mkdir(homeFolder, { recursive: true, mode: 0o700 });
    await writeFile(path.join(homeFolder, UNFINISHED), '');
    // What an earlier try left of a database is not gone on with.
    if (begun && !env['DATABASE_URL'])
      await rm(path.join(homeFolder, 'database'), { recursive: true, force: true });
    await write(whole, backup);
    await rm(path.join(homeFolder, UNFINISHED));
    return backup.manifest;
  } finally {
    backup.close();
  }
}

async function write(whole: WholeHome, backup: OpenBackup): Promise<void> {
  const { env, settings, say } = whole;
  const home = await openHome(whole.homeFolder);
  const blobs = await openBlobStore(env, home.path('blobs'));
  const fill = async (databaseUrl: string) => {
    const target = { databaseUrl, blobs, migrationsFolder: settings.migrationsFolder };
    const { migrated } = await restoreBackup(backup, target);
    if (migrated.length > 0)
      say(`brought it up to this version (${migrated.length} step${migrated.length === 1 ? '' : 's'})`);
  };
  await (env['DATABASE_URL'] ? fill(env['DATABASE_URL']) : withDatabase(whole, home, fill));
}

async function insistOnEmpty({ homeFolder }: WholeHome): Promise<void> {
  for (const part of ['database', 'blobs']) {
    const held = await readdir(path.join(homeFolder, part)).catch(
      (error: NodeJS.ErrnoException): string[] => {
        if (error.code !== 'ENOENT') throw error;
        return [];
      },
    );
    if (held.length > 0) {
      throw new BackupRefused(
        `${homeFolder} is not empty (it has ${part}), and a restore overwrites nothing. ` +
          'Set SOJOURN_HOME to a new folder, and start Sojourn with the same setting afterwards.',
      );
    }
  }
}

async function insistOnEmptyDatabase(url: string): Promise<void> {
  const [filled] = await filledTables(url);
  if (filled === undefined) return;
  throw new BackupRefused(
    `The database named by DATABASE_URL is not empty (its table ${filled} has rows), and a restore overwrites nothing. ` +
      'Name an empty database.',
  );
}

/** On the home's own database server, which nobody else runs. */
async function withDatabase<T>(
  { say }: WholeHome,
  home: Home,
  work: (databaseUrl: string) => Promise<T>,
): Promise<T> {
  const unlock = await lockHome(home);
  try {
    const running = await startEmbeddedDatabase(home, say);
    try {
      return await work(running.url);
    } finally {
      await running.stop();
    }
  } finally {
    await unlock();
  }
}
