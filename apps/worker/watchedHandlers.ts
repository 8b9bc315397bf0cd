/** Each run of a job: timed for the metrics, and a line in the log. */
import type { JobHandlers, RunningJob } from '../../libs/jobs/queues.js';
import type { WorkerConfig } from './workerConfig.js';

type Handler = (job: RunningJob<never>) => Promise<void>;

export function watchedHandlers(
  handlers: JobHandlers,
  { metrics, log }: Pick<WorkerConfig, 'metrics' | 'log'>,
): JobHandlers {
  const watched = (work: Handler) => async (job: RunningJob) => {
    const began = performance.now();
    const ended = (outcome: 'done' | 'failed') => {
      const ms = performance.now() - began;
      metrics.job(job.name, outcome, ms / 1000);
      log?.job({ job: job.name, jobId: job.id, outcome, ms });
    };
    try {
      await work(job as RunningJob<never>);
    } catch (error) {
      ended('failed');
      throw error;
    }
    ended('done');
  };
  const each = Object.entries(handlers).map(([name, work]) => [name, watched(work as Handler)]);
  return Object.fromEntries(each) as JobHandlers;
}
