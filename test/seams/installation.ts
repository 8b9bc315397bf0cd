/**
 * A real installation for tests: `scripts/start.mjs` as its own process on an empty home, on either back end.
 * The same tests run on both.
 */
import { spawn, spawnSync, type ChildProcess } from 'node:child_process';
import { once } from 'node:events';
import { existsSync } from 'node:fs';
import { mkdtemp, rm } from 'node:fs/promises';
import { createServer } from 'node:net';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { setTimeout as sleep } from 'node:timers/promises';
import { openHome } from '../../libs/store/home.js';
import { startEmbeddedDatabase } from '../../libs/store/embeddedDatabase.js';

const root = projectRoot(import.meta.dirname);
const READY_PATIENCE_MS = 60_000;

/** The same from here and from a build of here. */
function projectRoot(folder: string): string {
  return existsSync(path.join(folder, 'package.json')) ? folder : projectRoot(path.dirname(folder));
}

export type BackEnd = 'embedded' | 'redis-and-postgres';

/** Redis is a Debian package: where it is absent its suites say so, and under CI that is a failure. */
export const hasRedis = spawnSync('redis-server', ['--version']).status === 0;
export const backEnds: readonly BackEnd[] = hasRedis ? ['embedded', 'redis-and-postgres'] : ['embedded'];
if (!hasRedis) {
  if (process.env['CI']) throw new Error('redis-server is not installed: under CI its suites must run.');
  console.warn('\n*** SKIPPED: the Redis suites, since redis-server is not installed. ***\n');
}

export interface Installation {
  readonly home: string;
  readonly env: NodeJS.ProcessEnv;
  /** Starts (again) on the same home. */
  start(extra?: NodeJS.ProcessEnv, args?: readonly string[]): Promise<RunningInstallation>;
  /** Ends all that was started and removes the home. */
  remove(): Promise<void>;
}
export interface RunningInstallation {
  readonly url: string;
  readonly pid: number;
  readonly output: () => string;
  /** Milliseconds from spawn to the `ready` line. */
  readonly readyMs: number;
  stop(): Promise<number | null>;
  kill(): Promise<void>;
}

export async function makeInstallation(backEnd: BackEnd): Promise<Installation> {
  const home = await mkdtemp(path.join(tmpdir(), 'sojourn-test-'));
  const services = backEnd === 'embedded' ? undefined : await startServices();
  const running = new Set<RunningInstallation>();
  const env: NodeJS.ProcessEnv = {
    ...process.env,
    SOJOURN_HOME: home,
    PORT: '0',
    SOJOURN_DEMO: '0',
    SOJOURN_BUILT: '1',
    ...services?.env,
  };
  return {
    home,
    env,
    start: async (extra = {}, args = []) => {
      const one = await startProcess({ ...env, ...extra }, args);
      running.add(one);
      return one;
    },
    remove: async () => {
      for (const one of running) await one.stop();
      await services?.stop();
      await stopLeftDatabase(home);
      await rm(home, { recursive: true, force: true });
    },
  };
}

async function startProcess(env: NodeJS.ProcessEnv, args: readonly string[]): Promise<RunningInstallation> {
  const began = performance.now();
  const child = spawn(process.execPath, ['scripts/start.mjs', ...args], {
    cwd: root,
    env,
    stdio: ['ignore', 'pipe', 'pipe'],
  });
  let output = '';
  const collect = (chunk: Buffer) => (output += chunk.toString('utf8'));
  child.stdout.on('data', collect);
  child.stderr.on('data', collect);
  const url = await readyUrl(child, () => output);
  return {
    url,
    pid: child.pid ?? 0,
    output: () => output,
    readyMs: performance.now() - began,
    stop: () => end(child, 'SIGTERM'),
    kill: async () => void (await end(child, 'SIGKILL')),
  };
}

async function readyUrl(child: ChildProcess, output: () => string): Promise<string> {
  for (const patienceEnds = Date.now() + READY_PATIENCE_MS; Date.now() < patienceEnds; await sleep(20)) {
    const ready = /^ready (\S+)$/m.exec(output());
    if (ready?.[1]) return ready[1];
    if (child.exitCode !== null) throw new Error(`The server ended with ${child.exitCode}:\n${output()}`);
  }
  child.kill('SIGKILL');
  throw new Error(`The server was not ready within ${READY_PATIENCE_MS / 1000} s:\n${output()}`);
}

async function end(child: ChildProcess, signal: NodeJS.Signals): Promise<number | null> {
  if (child.exitCode === null && child.signalCode === null) {
    const gone = once(child, 'exit');
    child.kill(signal);
    await gone;
  }
  return child.exitCode;
}

/** A PostgreSQL of its own, standing for one that the team runs elsewhere, and a Redis. */
async function startServices(): Promise<{ env: NodeJS.ProcessEnv; stop(): Promise<void> }> {
  const folder = await mkdtemp(path.join(tmpdir(), 'sojourn-services-'));
  const database = await startEmbeddedDatabase(await openHome(folder), () => undefined);
  const port = await freePort();
  const options = [
    '--port',
    String(port),
    '--save',
    '',
    '--appendonly',
    'no',
    '--maxmemory-policy',
    'noeviction',
    '--dir',
    folder,
  ];
  const redis = spawn('redis-server', options, { stdio: 'ignore' });
  return {
    env: { DATABASE_URL: database.url, REDIS_URL: `redis://127.0.0.1:${port}` },
    stop: async () => {
      await end(redis, 'SIGTERM');
      await database.stop();
      await rm(folder, { recursive: true, force: true });
    },
  };
}

/** After a SIGKILL the database server lives on: the next start would adopt it; here it is put down. */
async function stopLeftDatabase(home: string): Promise<void> {
  const { readFile } = await import('node:fs/promises');
  const lock = await readFile(path.join(home, 'database', 'postmaster.pid'), 'utf8').catch(() => '');
  const pid = Number(lock.split('\n')[0]);
  if (pid > 0) {
    try {
      process.kill(pid, 'SIGINT');
      await sleep(500);
    } catch (error) {
      if ((error as NodeJS.ErrnoException).code !== 'ESRCH') throw error;
    }
  }
}

export async function freePort(): Promise<number> {
  return new Promise((resolve) => {
    const probe = createServer();
    probe.listen(0, '127.0.0.1', () => {
      const address = probe.address();
      probe.close(() => resolve(typeof address === 'object' && address ? address.port : 0));
    });
  });
}
