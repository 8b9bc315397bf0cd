/** Another server on the same database, as behind a load balancer: on either back end. */
import { openDatabase, type Database } from '../../libs/store/database.js';
import { startEmbeddedDatabase } from '../../libs/store/embeddedDatabase.js';
import { openHome } from '../../libs/store/home.js';
import type { Installation, RunningInstallation } from './installation.js';

/** The database a running installation uses. */
export async function databaseUrl({ env, home }: Installation): Promise<string> {
  if (env['DATABASE_URL']) return env['DATABASE_URL'];
  // Adopted, not started: it is not this one's to stop.
  return (await startEmbeddedDatabase(await openHome(home), () => undefined)).url;
}

export async function startSecond(
  installation: Installation,
  extra: NodeJS.ProcessEnv = {},
): Promise<RunningInstallation> {
  return installation.start({ ...extra, DATABASE_URL: await databaseUrl(installation) });
}

/** Straight to the tables, past all the server’s care. */
export async function openTables(installation: Installation): Promise<Database> {
  return openDatabase(await databaseUrl(installation), 6);
}
