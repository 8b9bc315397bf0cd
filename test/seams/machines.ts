/**
 * Two servers behind a balancer and two workers, each a process of its own. The servers share the folder that uploads
 * under way lie in, all of them the one for backups; each worker has a home of its own, as on another machine.
 */
import path from 'node:path';
import { startBalancer } from './balancer.js';
import { startProcess, type RunningInstallation } from './startedProcess.js';

export interface Machine {
  readonly role: 'api' | 'worker';
  readonly running: RunningInstallation;
  /** Ends it as a new version's roll-out does, and starts it again. @returns the exit code */
  restart(): Promise<number | null>;
}

export async function startMachines(env: NodeJS.ProcessEnv): Promise<RunningInstallation> {
  const began = performance.now();
  const home = env['SOJOURN_HOME'] ?? '';
  const shared = { SOJOURN_BACKUPS: path.join(home, 'backups'), ...env };
  const machines = await allOrNone([
    startMachine({ ...shared, SOJOURN_ROLE: 'api' }),
    startMachine({ ...shared, SOJOURN_ROLE: 'api' }),
    startMachine({ ...shared, SOJOURN_ROLE: 'worker', SOJOURN_HOME: path.join(home, 'worker-1') }),
    startMachine({ ...shared, SOJOURN_ROLE: 'worker', SOJOURN_HOME: path.join(home, 'worker-2') }),
  ]);
  const servers = machines.filter(({ role }) => role === 'api');
  const balancer = await startBalancer(() => servers.map(({ running }) => running.url));
  const each = <T>(work: (running: RunningInstallation) => Promise<T>) =>
    Promise.all(machines.map(({ running }) => work(running)));
  return {
    url: balancer.url,
    pid: servers[0]?.running.pid ?? 0,
    machines,
    output: () => machines.map(({ running }) => running.output()).join('\n'),
    readyMs: performance.now() - began,
    stop: async () => {
      const codes = await each((running) => running.stop());
      await balancer.stop();
      return codes.find((code) => code !== 0) ?? 0;
    },
    kill: async () => {
      await each((running) => running.kill());
      await balancer.stop();
    },
  };
}

/** Where one does not start, none is left running. */
async function allOrNone(starting: readonly Promise<Machine>[]): Promise<Machine[]> {
  const outcomes = await Promise.allSettled(starting);
  const machines = outcomes.flatMap((outcome) => (outcome.status === 'fulfilled' ? [outcome.value] : []));
  const failed = outcomes.find((outcome) => outcome.status === 'rejected');
  if (!failed) return machines;
  await Promise.all(machines.map(({ running }) => running.kill()));
  throw failed.reason;
}

async function startMachine(env: NodeJS.ProcessEnv & { SOJOURN_ROLE: Machine['role'] }): Promise<Machine> {
  let running = await startProcess(env, []);
  return {
    role: env.SOJOURN_ROLE,
    get running() {
      return running;
    },
    restart: async () => {
      const code = await running.stop();
      // The same address: a balancer's list does not change with a roll-out.
      const { port } = new URL(env.SOJOURN_ROLE === 'api' ? running.url : 'http://any:0');
      running = await startProcess({ ...env, PORT: port || '0' }, []);
      return code;
    },
  };
}
