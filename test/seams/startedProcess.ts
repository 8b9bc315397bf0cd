/** `scripts/start.mjs` as a process of its own: started, watched until it serves, stopped or killed. */
import { spawn, type ChildProcess } from 'node:child_process';
import { once } from 'node:events';
import { existsSync } from 'node:fs';
import { createServer } from 'node:net';
import path from 'node:path';
import { setTimeout as sleep } from 'node:timers/promises';
import type { Machine } from './machines.js';

const root = projectRoot(import.meta.dirname);
const READY_PATIENCE_MS = 280_000;

/** The same from here and from a build of here. */
function projectRoot(folder: string): string {
  return existsSync(path.join(folder, 'package.json')) ? folder : projectRoot(path.dirname(folder));
}

export interface RunningInstallation {
  readonly url: string;
  readonly pid: number;
  /** With many machines: the processes behind the address. */
  readonly machines?: readonly Machine[];
  readonly output: () => string;
  /** Milliseconds from spawn to the `ready` line. */
  readonly readyMs: number;
  stop(): Promise<number | null>;
  kill(): Promise<void>;
}

export async function startProcess(
  env: NodeJS.ProcessEnv,
  args: readonly string[],
): Promise<RunningInstallation> {
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

export async function end(child: ChildProcess, signal: NodeJS.Signals): Promise<number | null> {
  if (child.exitCode === null && child.signalCode === null) {
    const gone = once(child, 'exit');
    child.kill(signal);
    await gone;
  }
  return child.exitCode;
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
