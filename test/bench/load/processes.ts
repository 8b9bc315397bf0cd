/** What the processes of an installation have used and hold, as Linux tells it (proc(5)). */
import { readdir, readFile } from 'node:fs/promises';
import path from 'node:path';
import type { House } from '../house.js';

/** The kernel's unit of these times, USER_HZ: 100 a second on every platform Node runs on. */
const TICK_MS = 10;

export const canBeMeasured = process.platform === 'linux';

export interface Processes {
  /** The thread that serves requests and sockets, takes jobs and talks to the database: there is one a process. */
  readonly mainThreadMs: number;
  /** The other threads of that process: the arithmetic, collecting garbage, reading and writing files. */
  readonly threadsMs: number;
  /** Processes that read what was uploaded. */
  readonly readingMs: number;
  readonly databaseMs: number;
  readonly serverBytes: number;
  readonly readingBytes: number;
  readonly databaseBytes: number;
}

interface Stat {
  readonly pid: number;
  readonly parent: number;
  /** With what its ended children took. */
  readonly ms: number;
}

export async function processesOf({ installation: { home }, pid }: House): Promise<Processes> {
  const all = await everyProcess();
  const lock = await readFile(path.join(home, 'database', 'postmaster.pid'), 'utf8');
  const database = family(all, Number(lock.split('\n')[0]));
  const known = new Set(database.map((one) => one.pid));
  const reading = family(all, pid).filter((one) => one.pid !== pid && !known.has(one.pid));
  const main = statIn(await readFile(`/proc/${pid}/task/${pid}/stat`, 'utf8'));
  const server = all.filter((one) => one.pid === pid);
  const ms = (of: readonly Stat[]) => of.reduce((sum, one) => sum + one.ms, 0);
  const bytes = async (of: readonly Stat[]) =>
    (await Promise.all(of.map((one) => memoryOf(one.pid)))).reduce((sum, one) => sum + one, 0);
  return {
    mainThreadMs: main.ownMs,
    threadsMs: ms(server) - main.ownMs,
    readingMs: ms(reading),
    databaseMs: ms(database),
    serverBytes: await bytes(server),
    readingBytes: await bytes(reading),
    databaseBytes: await bytes(database),
  };
}

async function everyProcess(): Promise<Stat[]> {
  const found: Stat[] = [];
  for (const name of await readdir('/proc')) {
    if (!/^\d+$/.test(name)) continue;
    // Gone since it was listed.
    const text = await readFile(`/proc/${name}/stat`, 'utf8').catch(() => undefined);
    if (text !== undefined) found.push({ pid: Number(name), ...statIn(text) });
  }
  return found;
}

function statIn(text: string): { parent: number; ms: number; ownMs: number } {
  // After the name in brackets, which may hold spaces: state, parent, …, utime, stime, cutime, cstime.
  const fields = text
    .slice(text.lastIndexOf(')') + 2)
    .split(' ')
    .map(Number);
  const ownMs = (fields[11] + fields[12]) * TICK_MS;
  return { parent: fields[1], ms: ownMs + (fields[13] + fields[14]) * TICK_MS, ownMs };
}

function family(all: readonly Stat[], pid: number): Stat[] {
  const own = all.filter((one) => one.pid === pid);
  return [...own, ...all.filter(({ parent }) => parent === pid).flatMap((child) => family(all, child.pid))];
}

/** What is shared between processes counts in parts that sum up to it (Pss). */
async function memoryOf(pid: number): Promise<number> {
  const text = await readFile(`/proc/${pid}/smaps_rollup`, 'utf8').catch(() => '');
  return Number(/^Pss:\s+(\d+) kB/m.exec(text)?.[1] ?? 0) * 1024;
}
