/**
 * What a worker looks at by itself, besides its jobs: deadlines whenever something happens to the plan, so that what
 * becomes true is said within a second or so; and messages whose next try is due. Several workers may look at once:
 * a notice is a row that only one of them makes, a message belongs to whoever claims it.
 */
import { listen } from '../../../libs/store/index.js';
import type { WorkerConfig } from '../workerConfig.js';
import type { Upkeep } from './upkeep.js';

/** A burst of changes is looked at once. */
const CALM_MS = 400;
const SEND_DUE_MS = 2_000;
const MEND_MS = 10_000;

export function startWatching(config: WorkerConfig, upkeep: Upkeep): () => Promise<void> {
  const stopDeadlines = watchDeadlines(config, upkeep);
  let sending: Promise<void> | undefined;
  const timer = setInterval(() => {
    sending ??= Promise.all([upkeep.sendDue(), upkeep.publishDue()])
      .then(() => undefined)
      .catch((error: Error) => config.report(error, 'messages'))
      .finally(() => (sending = undefined));
  }, SEND_DUE_MS);
  let mending: Promise<void> | undefined;
  const mender = setInterval(() => {
    mending ??= upkeep
      .mendQueues()
      .catch((error: Error) => config.report(error, 'queues'))
      .finally(() => (mending = undefined));
  }, MEND_MS);
  return async () => {
    clearInterval(timer);
    clearInterval(mender);
    await stopDeadlines();
    await Promise.all([sending, mending]);
  };
}

function watchDeadlines(config: WorkerConfig, upkeep: Upkeep): () => Promise<void> {
  let timer: NodeJS.Timeout | undefined;
  let looking: Promise<void> | undefined;
  let seen = 0;
  const look = async (): Promise<void> => {
    const last = await lastOfInterest(config, seen);
    if (last === undefined) return;
    seen = last;
    await upkeep.deadlines();
  };
  const wake = (): void => {
    timer ??= setTimeout(() => {
      timer = undefined;
      // One after the other: what happened during a look is looked at next.
      looking = (looking ?? Promise.resolve())
        .then(look)
        .catch((error: Error) => config.report(error, 'deadlines'));
    }, CALM_MS);
  };
  const stopListening = listen(config.database, {
    feed: wake,
    outbox: () => undefined,
    draft: () => undefined,
  });
  return async () => {
    clearTimeout(timer);
    await stopListening();
    await looking;
  };
}

/** The number of the last event that a deadline could hang on; undefined when there is none after the one seen. */
async function lastOfInterest({ database }: WorkerConfig, seen: number): Promise<number | undefined> {
  const answer = await database.pool.query<{ number: string | null }>({
    name: 'deadline-events',
    text: `select max("number") as "number" from "FeedEvent" where "number" > $1 and "type" in
           ('loan-changed', 'unit-changed', 'plan-changed', 'calendars-changed', 'analysis-finished', 'review-published')`,
    values: [seen],
  });
  const last = answer.rows[0]?.number ?? null;
  return last === null ? undefined : Number(last);
}
