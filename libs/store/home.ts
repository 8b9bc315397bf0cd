/**
 * The one folder that holds everything a team has: database, files, secrets.
 *
 *   database/   the embedded PostgreSQL's own folder (absent when DATABASE_URL is set)
 *   blobs/      files by content hash
 *   uploads/    uploads on their way
 *   secrets.json, secret-key, server.lock
 */
import { randomBytes } from 'node:crypto';
import { constants, copyFile, link, mkdir, open, readFile, rm, writeFile } from 'node:fs/promises';
import path from 'node:path';
import envPaths from 'env-paths';

export interface Secrets {
  readonly databasePassword: string;
  /** What secrets in the database are sealed with; in no backup. */
  readonly secretKey: string;
}

export interface Home {
  readonly folder: string;
  readonly secrets: Secrets;
  path(...parts: string[]): string;
}

export function homeFolder(env: NodeJS.ProcessEnv): string {
  return path.resolve(env['SOJOURN_HOME'] ?? envPaths('sojourn', { suffix: '' }).data);
}

export async function openHome(folder: string): Promise<Home> {
  for (const part of ['', 'blobs', 'uploads']) {
    await mkdir(path.join(folder, part), { recursive: true, mode: 0o700 });
  }
  const secrets = { ...(await keepSecrets(folder)), secretKey: await keepSecretKey(folder) };
  return { folder, secrets, path: (...parts) => path.join(folder, ...parts) };
}

export const SECRET_KEY_FILE = 'secret-key';

async function keepSecretKey(folder: string): Promise<string> {
  const key = randomBytes(32).toString('base64url');
  return (await keepOnce(path.join(folder, SECRET_KEY_FILE), `${key}\n`)).trim();
}

/** Made once: of two starts at the same moment the one that comes second takes what the first one made. */
async function keepOnce(file: string, content: string): Promise<string> {
  const known = await readFile(file, 'utf8').catch((error: NodeJS.ErrnoException) => {
    if (error.code !== 'ENOENT') throw error;
    return undefined;
  });
  if (known !== undefined) return known;
  const fresh = `${file}.${randomBytes(6).toString('hex')}`;
  await writeFile(fresh, content, { mode: 0o600 });
  // A link is there whole or not at all, and never takes another's place.
  await link(fresh, file).catch(async (error: NodeJS.ErrnoException) => {
    // Disks without links (some shares, memory cards) copy; that too takes no other's place.
    if (error.code !== 'EEXIST') await copyFile(fresh, file, constants.COPYFILE_EXCL);
  });
  await rm(fresh, { force: true });
  return readFile(file, 'utf8');
}

/**
 * Into a home that has none yet, such as one about to be restored into: the key of the house it came from.
 * @throws Error when the file holds no key, or the home has another
 */
export async function takeSecretKey(folder: string, file: string): Promise<void> {
  const key = (await readFile(file, 'utf8')).trim();
  if (!/^[\w-]{43}$/.test(key))
    throw new Error(`${file} holds no secret key. Name the file ${SECRET_KEY_FILE} of the old home.`);
  await mkdir(folder, { recursive: true, mode: 0o700 });
  const place = path.join(folder, SECRET_KEY_FILE);
  await writeFile(place, `${key}\n`, { mode: 0o600, flag: 'wx' }).catch(
    async (error: NodeJS.ErrnoException) => {
      if (error.code !== 'EEXIST') throw error;
      if ((await readFile(place, 'utf8')).trim() !== key)
        throw new Error(`${folder} has another secret key already. Restore into a new folder.`);
    },
  );
}

async function keepSecrets(folder: string): Promise<Pick<Secrets, 'databasePassword'>> {
  const secrets = JSON.stringify({ databasePassword: randomBytes(24).toString('base64url') });
  return JSON.parse(await keepOnce(path.join(folder, 'secrets.json'), secrets)) as Pick<
    Secrets,
    'databasePassword'
  >;
}

export class HomeInUse extends Error {
  readonly code = 'home-in-use';
}

/** One server per home. A lock left by a killed process is taken over; a live one is respected. */
export async function lockHome(home: Home): Promise<() => Promise<void>> {
  const file = home.path('server.lock');
  for (let attempt = 0; attempt < 2; attempt++) {
    try {
      const handle = await open(file, 'wx', 0o600);
      await handle.writeFile(String(process.pid));
      await handle.close();
      return () => rm(file, { force: true });
    } catch (error) {
      if ((error as NodeJS.ErrnoException).code !== 'EEXIST') throw error;
    }
    const holder = Number(await readFile(file, 'utf8').catch(() => ''));
    if (await isSojournProcess(holder)) {
      throw new HomeInUse(
        `Another Sojourn (process ${holder}) already runs on ${home.folder}. Stop it first, or set SOJOURN_HOME to another folder.`,
      );
    }
    await rm(file, { force: true });
  }
  throw new HomeInUse(`The lock ${file} keeps coming back: two starts at once? Try again.`);
}

/** A process id can be reused after a reboot, so on Linux the command line is looked at too. */
async function isSojournProcess(pid: number): Promise<boolean> {
  if (!isAlive(pid) || pid === process.pid) return false;
  const commandLine = await readFile(`/proc/${pid}/cmdline`, 'utf8').catch(() => undefined);
  return commandLine === undefined ? process.platform !== 'linux' : /\b(start|door)\.mjs/.test(commandLine);
}

export function isAlive(pid: number): boolean {
  if (!Number.isInteger(pid) || pid <= 0) return false;
  try {
    process.kill(pid, 0);
    return true;
  } catch (error) {
    return (error as NodeJS.ErrnoException).code === 'EPERM';
  }
}
