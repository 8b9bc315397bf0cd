/**
 * When to stop trying: a job that failed every time, or in the middle of which its worker ended again and again, is
 * set aside with a reason people can read, and they can have it tried again. Nothing vanishes, nothing is tried for ever.
 */
import type { JobHandlers, RunningJob } from '../../../libs/jobs/queues.js';
import { isPassing } from '../../../libs/jobs/passing.js';
import type { JobName } from '../../../libs/contracts/index.js';

/** A worker may be killed for reasons of its own; at the same job so often, it is the job. */
const MOST_INTERRUPTIONS = 4;
/** Of a job of several steps, whatever its row says: one that ends the worker at once may not get to be written down. */
const MOST_INTERRUPTIONS_IN_ALL = 10;
const REASON_LENGTH = 1000;

export type SetAside<J extends JobName = JobName> = (job: RunningJob<J>, reason: string) => Promise<void>;
export type SetAsides = { readonly [J in JobName]?: SetAside<J> };
/** Of a job of several steps: how often the one it is at was begun. */
export type Beginnings = { readonly [J in JobName]?: (job: RunningJob<J>) => Promise<number> };

/**
 * @param setAsides where each kind of work keeps why it was given up
 * @param otherwise for those that have no place of their own
 */
export function givingUp(
  handlers: JobHandlers,
  setAsides: SetAsides,
  beginnings: Beginnings,
  otherwise: SetAside,
): JobHandlers {
  const guarded = Object.entries(handlers).map(([name, handler]) => {
    const work = handler as (job: RunningJob) => Promise<void>;
    const setAside = (setAsides[name as JobName] ?? otherwise) as SetAside;
    const begun = beginnings[name as JobName] as ((job: RunningJob) => Promise<number>) | undefined;
    return [name, (job: RunningJob) => tryOrGiveUp(job, work, setAside, begun)];
  });
  return Object.fromEntries(guarded) as JobHandlers;
}

async function tryOrGiveUp(
  job: RunningJob,
  work: (job: RunningJob) => Promise<void>,
  setAside: SetAside,
  begun: ((job: RunningJob) => Promise<number>) | undefined,
): Promise<void> {
  if (await endsItsWorker(job, begun)) {
    return setAside(
      job,
      `The program ended ${job.interrupted} times while this was at work, so it is not begun again by itself. ` +
        'Too little memory for it is the usual cause.',
    );
  }
  try {
    await work(job);
  } catch (error) {
    // What passes by itself costs no try: the queue waits with it.
    if (job.lastAttempt && !isPassing(error)) {
      const times = job.attemptsBefore === 0 ? '' : ` ${job.attemptsBefore + 1} times`;
      await setAside(job, `It failed${times}: ${(error as Error).message}`.slice(0, REASON_LENGTH));
    }
    throw error;
  }
}

async function endsItsWorker(
  job: RunningJob,
  begun: ((job: RunningJob) => Promise<number>) | undefined,
): Promise<boolean> {
  const { interrupted } = job;
  if (interrupted < MOST_INTERRUPTIONS) return false;
  if (!begun || interrupted >= MOST_INTERRUPTIONS_IN_ALL) return true;
  return (await begun(job)) >= MOST_INTERRUPTIONS;
}
