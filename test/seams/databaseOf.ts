/** The database behind an installation under test: to look into it, and to put it into a state only time would. */
import { readFile } from 'node:fs/promises';
import path from 'node:path';
import { openDatabase, type Database } from '../../libs/store/database.js';
import { urlOf } from '../../libs/store/embeddedDatabase.js';
import { openHome } from '../../libs/store/home.js';
import type { Installation } from './installation.js';

/** Of a running installation. Close it before the installation is removed. */
export async function databaseOf(installation: Installation): Promise<Database> {
  return openDatabase(await databaseUrlOf(installation), 2);
}

export const databaseUrlOf = async ({ home, env }: Installation): Promise<string> =>
  env['DATABASE_URL'] ?? embeddedUrl(home);

async function embeddedUrl(home: string): Promise<string> {
  const { secrets } = await openHome(home);
  const lock = await readFile(path.join(home, 'database', 'postmaster.pid'), 'utf8');
  return urlOf(Number(lock.split('\n')[3]), secrets.databasePassword, 'sojourn');
}
