/**
 * The one folder that holds everything a team has: database, files, secrets.
 *
 *   database/   the embedded PostgreSQL's own folder (absent when DATABASE_URL is set)
 *   blobs/      files by content hash
 *   uploads/    uploads on their way
 *   secrets.json, server.lock
 */
import { randomBytes } from 'node:crypto';
import { mkdir, open, readFile, rename, rm, writeFile } from 'node:fs/promises';
import path from 'node:path';
import envPaths from 'env-paths';

export interface Secrets {
  readonly databasePassword: string;
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
  return { folder, secrets: await keepSecrets(folder), path: (...parts) => path.join(folder, ...parts) };
}

async function keepSecrets(folder: string): Promise<Secrets> {
  const file = path.join(folder, 'secrets.json');
  try {
    return JSON.parse(await readFile(file, 'utf8')) as Secrets;
  } catch (error) {
    if ((error as NodeJS.ErrnoException).code !== 'ENOENT') throw error;
  }
  const secrets: Secrets = { databasePassword: randomBytes(24).toString('base64url') };
  // Written beside and moved into place: a kill in between leaves no half file.
  await writeFile(`${file}.new`, JSON.stringify(secrets), { mode: 0o600 });
  await rename(`${file}.new`, file);
  return secrets;
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
