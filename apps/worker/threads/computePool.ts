/**
 * The threads the arithmetic runs in, kept warm: starting one costs about 50 ms. What people sent is read before that,
 * in processes with limits.
 */
import { availableParallelism } from 'node:os';
import { fileURLToPath } from 'node:url';
import { Piscina } from 'piscina';
import {
  openReadingPool,
  ReadingStopped,
  stoppedProblem,
  type ReadingTasks,
} from '../../../libs/file-reading/index.js';
import type * as compute from './computeThread.js';

export interface ComputePool {
  read(task: ReadingTasks['read-set']['ask']): Promise<ReadingTasks['read-set']['answer']>;
  analyse(task: compute.AnalyseTask): Promise<compute.AnalyseOutcome>;
  draw(task: compute.DrawTask): Promise<compute.DrawnFigure[]>;
  makeDemoSet(
    task: Parameters<typeof compute.makeDemoSet>[0],
  ): Promise<ReturnType<typeof compute.makeDemoSet>>;
  close(): Promise<void>;
}

/** A runaway input ends its thread, not the process: one thread may take this much. */
const THREAD_MEMORY_MB = 1024;
const TASK_PATIENCE_MS = 10 * 60_000;

/** Where threads have priorities of their own, background work gives way to people's. */
const BACKGROUND_NICENESS = process.platform === 'linux' ? 10 : 0;

/** @param background for work nobody waits for: no thread is kept warm, and it runs at low priority */
export function openComputePool(threads: number, background = false): ComputePool {
  const pool = new Piscina({
    filename: fileURLToPath(new URL('./computeThread.js', import.meta.url)),
    minThreads: background ? 0 : 1,
    niceIncrement: background ? BACKGROUND_NICENESS : 0,
    maxThreads: Math.max(1, Math.min(threads, availableParallelism())),
    idleTimeout: 60_000,
    resourceLimits: { maxOldGenerationSizeMb: THREAD_MEMORY_MB },
  });
  const reading = openReadingPool(threads, {}, background ? 0 : 1);
  const run = (name: string, task: unknown) =>
    pool.run(task, { name, signal: AbortSignal.timeout(TASK_PATIENCE_MS) }) as Promise<never>;
  return {
    read: (task) =>
      reading.run('read-set', task).catch((error: unknown) => {
        if (!(error instanceof ReadingStopped)) throw error;
        return { problems: [stoppedProblem(error, 'the set')] };
      }),
    analyse: (task) => run('analyseSet', task),
    draw: (task) => run('drawFigures', task),
    makeDemoSet: (task) => run('makeDemoSet', task),
    close: async () => {
      await Promise.all([pool.close(), reading.close()]);
    },
  };
}
