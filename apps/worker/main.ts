/** Takes jobs, calls the libraries, writes results. No HTTP. */
import 'reflect-metadata';
import { Module } from '@nestjs/common';
import { NestFactory } from '@nestjs/core';
import type { JobHandlers, RunningJob, Workers } from '../../libs/jobs/queues.js';
import { workInFlight } from '../../libs/store/index.js';
import { AnalysisSteps } from './steps/analysisSteps.js';
import { DemoLoading } from './demo/demoLoading.js';
import { Recomputing } from './steps/recomputing.js';
import { startWatching } from './steps/watching.js';
import { Publishing } from './steps/publishing.js';
import { Upkeep } from './steps/upkeep.js';
import { openComputePool, type ComputePool } from './threads/computePool.js';
import { CAMPAIGN_POOL, COMPUTE_POOL } from './tokens.js';
import { CONFIG, type WorkerConfig } from './workerConfig.js';

const DEADLINE_WATCH_MS = 30_000;
const CLEARING_MS = 3600_000;
const BACKUP_SCHEDULE_MS = 300_000;

export interface RunningWorker {
  /** Finishes the jobs at work, takes no more, frees the threads. */
  drain(): Promise<void>;
}

export async function startWorker(config: WorkerConfig): Promise<RunningWorker> {
  @Module({
    providers: [
      { provide: CONFIG, useValue: config },
      { provide: COMPUTE_POOL, useFactory: () => openComputePool(config.threads) },
      { provide: CAMPAIGN_POOL, useFactory: () => openComputePool(1, true) },
      AnalysisSteps,
      Recomputing,
      DemoLoading,
      Upkeep,
      Publishing,
    ],
  })
  class WorkerModule {}

  const context = await NestFactory.createApplicationContext(WorkerModule, { logger: ['error', 'fatal'] });
  const workers = await config.queues.work(
    handlersOf(
      context.get(AnalysisSteps),
      context.get(Recomputing),
      context.get(Upkeep),
      context.get(DemoLoading),
      context.get(Publishing),
    ),
    {
      analysis: Math.max(1, config.threads),
      campaign: 1,
      upkeep: 1,
      messages: 4,
      publication: 1,
      backups: 1,
    },
    (error) => config.report(error, 'queue'),
  );
  await config.queues.everyMs('watch-deadlines', DEADLINE_WATCH_MS);
  await config.queues.everyMs('clear-old', CLEARING_MS);
  await config.queues.everyMs('schedule-backups', BACKUP_SCHEDULE_MS);
  const stopWatching = startWatching(config, context.get(Upkeep));
  await context.get(Recomputing).resume();
  await config.queues.add(await workInFlight(config.database));
  const pools = [COMPUTE_POOL, CAMPAIGN_POOL].map((token) => context.get<ComputePool>(token));
  return {
    drain: async () => {
      await stopWatching();
      await drain(workers, pools, () => context.close());
    },
  };
}

function handlersOf(
  steps: AnalysisSteps,
  recomputing: Recomputing,
  upkeep: Upkeep,
  demo: DemoLoading,
  publishing: Publishing,
): JobHandlers {
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
    'recompute-set': (job) => recomputing.recompute(job),
    'load-demo': (job) => demo.load(job.payload),
    'watch-deadlines': () => upkeep.deadlines(),
    deliver: ({ payload }) => upkeep.deliver(payload),
    'build-bundle': (job) => publishing.build(job),
    'place-bundle': (job) => publishing.place(job),
    'clear-old': () => upkeep.clear(),
    'schedule-backups': () => upkeep.scheduleBackup(),
    'make-backup': (job) => upkeep.makeBackup(job),
  };
}

async function drain(
  workers: Workers,
  pools: readonly ComputePool[],
  close: () => Promise<void>,
): Promise<void> {
  await workers.drain();
  await Promise.all(pools.map((pool) => pool.close()));
  await close();
}
