/** A module of the benchmark as a process of its own: it sends a first message when it is ready. */
import { fork } from 'node:child_process';
import { on, once } from 'node:events';
import { fileURLToPath } from 'node:url';

export interface Forked<T> {
  /** What it said when it was ready. */
  readonly ready: T;
  /** The next thing it says. */
  next(): Promise<unknown>;
  stop(): Promise<void>;
}

/** @param name of the module's file in this folder, without its ending */
export async function forked<T>(name: string, args: readonly string[] = []): Promise<Forked<T>> {
  const child = fork(fileURLToPath(new URL(`./${name}.js`, import.meta.url)), args);
  const ended = new AbortController();
  child.once('exit', () => ended.abort(new Error(`${name} has ended`)));
  const said = on(child, 'message', { signal: ended.signal });
  const next = async (): Promise<unknown> => {
    const { value } = (await said.next()) as { value: [unknown] };
    return value[0];
  };
  return {
    ready: (await next()) as T,
    next,
    stop: async () => {
      if (child.exitCode !== null || child.signalCode !== null) return;
      const gone = once(child, 'exit');
      child.kill();
      await gone;
    },
  };
}

/** Of the machine, not of the process: what one process reads may be taken from what another has read, ms. */
export const machineClock = (): number => Number(process.hrtime.bigint()) / 1e6;
