/**
 * What was sent from a folder, kept in the person's own folder of this program and never in the folder itself: so that
 * a run that was ended goes on where it stopped. What the server has is asked of the server.
 */
import { createHash } from 'node:crypto';
import { mkdir, readFile, rename, rm, writeFile } from 'node:fs/promises';
import path from 'node:path';
import envPaths from 'env-paths';
import { isAlive } from '../../../libs/store/home.js';
import { folderKey } from './fileNames.js';
import { SendStopped } from './sendStopped.js';

export interface JournalFile {
  readonly sha256: string;
  readonly bytes: number;
  readonly modifiedMs: number;
  /** Where a begun upload goes on. */
  readonly uploadUrl?: string;
  readonly arrived?: boolean;
}
export interface Journal {
  setId?: string;
  /** The set that this one was measured again for, until it is set aside. */
  replaces?: { readonly setId: string; readonly changed: readonly string[] };
  files: Record<string, JournalFile>;
}

export interface KeptJournal {
  readonly journal: Journal;
  save(): Promise<void>;
  close(): Promise<void>;
}

/** @param env `SOJOURN_SEND_STATE` names another folder for it */
export function journalFolder(env: NodeJS.ProcessEnv): string {
  return env['SOJOURN_SEND_STATE'] ?? path.join(envPaths('sojourn', { suffix: '' }).config, 'sent');
}

/** @throws SendStopped when another run is sending the same folder to the same set */
export async function openJournal(
  folder: string,
  about: { readonly server: string; readonly unit: string; readonly set: string; readonly from: string },
): Promise<KeptJournal> {
  await mkdir(folder, { recursive: true, mode: 0o700 });
  const from = folderKey(about.from, process.platform);
  const key = createHash('sha256')
    .update(JSON.stringify({ ...about, from }))
    .digest('hex')
    .slice(0, 32);
  const file = path.join(folder, `${key}.json`);
  const unlock = await lock(`${file}.lock`, about.from);
  const journal = await read(file);
  let last = Promise.resolve();
  return {
    journal,
    save: () => (last = last.then(() => write(file, { ...about, ...journal }))),
    close: async () => {
      await last;
      await unlock();
    },
  };
}

async function read(file: string): Promise<Journal> {
  const empty: Journal = { files: {} };
  try {
    return { ...empty, ...(JSON.parse(await readFile(file, 'utf8')) as Partial<Journal>) };
  } catch (error) {
    // Cut off in the middle or not there: the server knows what it has.
    if (error instanceof SyntaxError || (error as NodeJS.ErrnoException).code === 'ENOENT') return empty;
    throw error;
  }
}

async function write(file: string, content: object): Promise<void> {
  await writeFile(`${file}.new`, JSON.stringify(content, null, 1), { mode: 0o600 });
  await rename(`${file}.new`, file);
}

async function lock(file: string, from: string): Promise<() => Promise<void>> {
  for (let attempt = 0; attempt < 2; attempt++) {
    try {
      await writeFile(file, String(process.pid), { flag: 'wx', mode: 0o600 });
      return () => rm(file, { force: true });
    } catch (error) {
      if ((error as NodeJS.ErrnoException).code !== 'EEXIST') throw error;
    }
    const holder = Number(await readFile(file, 'utf8').catch(() => ''));
    if (isAlive(holder)) {
      throw new SendStopped(
        2,
        'already-sending',
        `${from} is being sent by another run already.`,
        'Let that one go on, or end it.',
      );
    }
    await rm(file, { force: true });
  }
  throw new SendStopped(2, 'already-sending', `${from} is being sent by another run.`, 'Try again.');
}
