/**
 * A real installation for tests: `scripts/start.mjs` on an empty home. Embedded: one process. Redis and PostgreSQL: one
 * process on services that run elsewhere. Many machines: two servers behind a balancer and two workers, each a process
 * of its own, on PostgreSQL, Redis and S3-compatible storage. The same tests run on all of them.
 */
import { spawnSync } from 'node:child_process';
import { mkdtemp, rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { setTimeout as sleep } from 'node:timers/promises';
import { startMachines } from './machines.js';
import { startServices } from './services.js';
import { startProcess, type RunningInstallation } from './startedProcess.js';

export type { RunningInstallation };

export type BackEnd = 'embedded' | 'redis-and-postgres' | 'many-machines';

/** Redis is a Debian package: where it is absent its suites say so, and under CI that is a failure. */
export const hasRedis = spawnSync('redis-server', ['--version']).status === 0;
const chosen = (second: BackEnd): readonly BackEnd[] => (hasRedis ? ['embedded', second] : ['embedded']);
/** Where one process is to be killed, or one after the other. */
export const processBackEnds = chosen('redis-and-postgres');
/** `SOJOURN_TEST_MACHINES`: `all` spreads every suite over four processes, `both` runs every suite on both back ends. */
const asked = process.env['SOJOURN_TEST_MACHINES'];
/** Where what is promised hangs on queues and on news between processes. */
export const backEnds = asked === 'all' ? chosen('many-machines') : processBackEnds;
/** Where it hangs on rows and files alone, which are the same everywhere: on the second one only when asked. */
export const dataBackEnds: readonly BackEnd[] = asked ? backEnds : ['embedded'];
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
export async function makeInstallation(backEnd: BackEnd): Promise<Installation> {
  const home = await mkdtemp(path.join(tmpdir(), 'sojourn-test-'));
  const services = backEnd === 'embedded' ? undefined : await startServices(backEnd);
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
      // One that is asked for by its role is one more machine.
      const many = backEnd === 'many-machines' && extra['SOJOURN_ROLE'] === undefined;
      const start = many ? startMachines : startProcess;
      const one = await start({ ...env, ...extra }, args);
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
