/** Takes jobs, calls the libraries, writes results. No HTTP. */
import 'reflect-metadata';
import { Module } from '@nestjs/common';
import { NestFactory } from '@nestjs/core';
import type { JobHandlers, Workers } from '../../libs/jobs/queues.js';
import { workInFlight } from '../../libs/store/index.js';
import { AnalysisSteps } from './steps/analysisSteps.js';
import { givingUp, type Beginnings, type SetAsides } from './steps/givingUp.js';
import { DemoLoading } from './demo/demoLoading.js';
import { Recomputing } from './steps/recomputing.js';
import { startWatching } from './steps/watching.js';
import { Publishing } from './steps/publishing.js';
import { Upkeep } from './steps/upkeep.js';
import { openComputePool, type ComputePool } from './threads/computePool.js';
import { CAMPAIGN_POOL, COMPUTE_POOL } from './tokens.js';
import { watchedHandlers } from './watchedHandlers.js';
import { CONFIG, type WorkerConfig } from './workerConfig.js';

const DEADLINE_WATCH_MS = 30_000;
const CLEARING_MS = 3600_000;
const BACKUP_SCHEDULE_MS = 300_000;

export interface RunningWorker {
  /** Finishes the jobs at work, but leaves off what takes long; takes no more, frees the threads. */
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
    watchedHandlers(
      handlersOf(
        context.get(AnalysisSteps),
        context.get(Recomputing),
        context.get(Upkeep),
        context.get(DemoLoading),
        context.get(Publishing),
      ),
      config,
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
  await config.queues.mend(await workInFlight(config.database, config.publishFolder !== undefined));
  const pools = [COMPUTE_POOL, CAMPAIGN_POOL].map((token) => context.get<ComputePool>(token));
  return {
    drain: async () => {
      for (const part of [AnalysisSteps, Upkeep]) context.get<AnalysisSteps | Upkeep>(part).leaveOff();
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
  const handlers: JobHandlers = {
    'read-set': (job) => steps.toItsEnd(job),
    'analyse-set': (job) => steps.toItsEnd(job),
    'draw-figures': (job) => steps.toItsEnd(job),
    'recompute-set': (job) => recomputing.recompute(job),
    'load-demo': (job) => upkeep.succeeding(job, () => demo.load(job.payload)),
    'watch-deadlines': (job) => upkeep.succeeding(job, () => upkeep.deadlines()),
    deliver: ({ payload }) => upkeep.deliver(payload),
    'build-bundle': (job) => publishing.build(job),
    'place-bundle': (job) => publishing.place(job),
    'clear-old': (job) => upkeep.succeeding(job, () => upkeep.clear()),
    'schedule-backups': (job) => upkeep.succeeding(job, () => upkeep.scheduleBackup()),
    'make-backup': (job) => upkeep.makeBackup(job),
    'make-export': (job) => upkeep.makeExport(job),
  };
  const setAsides: SetAsides = {
    'read-set': (job, reason) => steps.setAside(job, reason),
    'analyse-set': (job, reason) => steps.setAside(job, reason),
    'draw-figures': (job, reason) => steps.setAside(job, reason),
    'recompute-set': (job, reason) => recomputing.setAside(job, reason),
    deliver: ({ payload }, reason) => upkeep.giveUpDelivery(payload, reason),
    'build-bundle': (job, reason) => publishing.setAside(job, reason),
    'place-bundle': (job, reason) => publishing.setPlacingAside(job, reason),
    'make-backup': ({ payload }, reason) => upkeep.giveUpBackup(payload, reason),
    'make-export': ({ payload }, reason) => upkeep.giveUpExport(payload, reason),
  };
  const begun = (job: Parameters<AnalysisSteps['beginnings']>[0]) => steps.beginnings(job);
  const beginnings: Beginnings = { 'read-set': begun, 'analyse-set': begun, 'draw-figures': begun };
  return givingUp(handlers, setAsides, beginnings, (job, reason) => upkeep.setAside(job, reason));
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
