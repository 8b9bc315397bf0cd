/** One job of the queue to its handler; what is not the job's own fault costs it none of its tries. */
import { DelayedError, type Job } from 'bullmq';
import type { JobName, JobPayloads } from '../contracts/index.js';
import { isPassing } from './passing.js';
import { LONGEST_PAUSE_MS } from './mending.js';
import type { JobHandlers, RunningJob } from './job.js';

const FIRST_PAUSE_MS = 500;
/** About half an hour of a database or a disk that does not come back: then it fails like any other. */
const MOST_WAITS = 40;

/** @param token by which this worker holds the job */
export async function runJob(handlers: JobHandlers, job: Job, token: string | undefined): Promise<void> {
  const name = job.name as JobName;
  const handler = handlers[name] as ((job: RunningJob) => Promise<void>) | undefined;
  if (!handler) throw new Error(`No handler for the job ${job.name}.`);
  // Started, and neither failed nor lost with its worker: put off before.
  const waits = job.attemptsStarted - 1 - job.attemptsMade - job.stalledCounter;
  try {
    await handler({
      name,
      id: job.id ?? '',
      payload: job.data as JobPayloads[JobName],
      attemptsBefore: job.attemptsMade,
      lastAttempt: job.attemptsMade + 1 >= (job.opts.attempts ?? 1),
      interrupted: job.stalledCounter,
    });
  } catch (error) {
    if (!isPassing(error) || waits > MOST_WAITS) throw error;
    await job.moveToDelayed(Date.now() + pauseOf(waits), token);
    throw new DelayedError();
  }
}

const pauseOf = (waits: number): number =>
  Math.min(LONGEST_PAUSE_MS, FIRST_PAUSE_MS * 2 ** Math.max(0, waits));
