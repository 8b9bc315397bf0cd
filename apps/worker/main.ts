/** Takes jobs, calls the libraries, writes results. No HTTP. */
import 'reflect-metadata';
import { Module } from '@nestjs/common';
import { NestFactory } from '@nestjs/core';
import type { JobHandlers, RunningJob, Workers } from '../../libs/jobs/queues.js';
import { AnalysisSteps } from './steps/analysisSteps.js';
import { DemoLoading } from './demo/demoLoading.js';
import { Upkeep } from './steps/upkeep.js';
import { openComputePool, type ComputePool } from './threads/computePool.js';
import { COMPUTE_POOL } from './tokens.js';
import { CONFIG, type WorkerConfig } from './workerConfig.js';

const DEADLINE_WATCH_MS = 60_000;
const CLEARING_MS = 3600_000;

export interface RunningWorker {
  /** Finishes the jobs at work, takes no more, frees the threads. */
  drain(): Promise<void>;
}

export async function startWorker(config: WorkerConfig): Promise<RunningWorker> {
  @Module({
    providers: [
      { provide: CONFIG, useValue: config },
      { provide: COMPUTE_POOL, useFactory: () => openComputePool(config.threads) },
      AnalysisSteps,
      DemoLoading,
      Upkeep,
    ],
  })
  class WorkerModule {}

  const context = await NestFactory.createApplicationContext(WorkerModule, { logger: ['error', 'fatal'] });
  const workers = await config.queues.work(
    handlersOf(context.get(AnalysisSteps), context.get(Upkeep), context.get(DemoLoading)),
    { analysis: Math.max(1, config.threads), upkeep: 1 },
    (error) => config.report(error, 'queue'),
  );
  await config.queues.everyMs('watch-deadlines', DEADLINE_WATCH_MS);
  await config.queues.everyMs('clear-old', CLEARING_MS);
  return { drain: () => drain(workers, context.get<ComputePool>(COMPUTE_POOL), () => context.close()) };
}

function handlersOf(steps: AnalysisSteps, upkeep: Upkeep, demo: DemoLoading): JobHandlers {
  const guarded =
    <J extends 'read-set' | 'analyse-set' | 'draw-figures'>(work: (job: RunningJob<J>) => Promise<void>) =>
    async (job: RunningJob<J>): Promise<void> => {
      try {
        await work(job);
      } catch (error) {
        if (job.lastAttempt) await steps.setAside(job, error as Error);
        throw error;
      }
    };
  return {
    'read-set': guarded((job: RunningJob<'read-set'>) => steps.read(job)),
    'analyse-set': guarded((job: RunningJob<'analyse-set'>) => steps.analyse(job)),
    'draw-figures': guarded((job: RunningJob<'draw-figures'>) => steps.draw(job)),
    'load-demo': (job) => demo.load(job.payload),
    'watch-deadlines': () => upkeep.deadlines(),
    'clear-old': () => upkeep.clear(),
  };
}

async function drain(workers: Workers, pool: ComputePool, close: () => Promise<void>): Promise<void> {
  await workers.drain();
  await pool.close();
  await close();
}
