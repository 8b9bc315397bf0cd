/**
 * The queues, on PostgreSQL or on Redis, behind one door. Nothing else in the house knows BullMQ.
 *
 * Results and progress reach people through the feed, never through queue events: those of the PostgreSQL
 * back end lose some under load.
 */
import {
  Queue,
  Worker as RedisWorker,
  withBackend,
  createPostgresBackend,
  type Job,
  type QueueOptions,
  type WorkerOptions,
} from 'bullmq';
import { Redis } from 'ioredis';
import { QUEUE_SCHEMA, endOrphans, mendClock, mendDelays, putBack, type MendedQueue } from './mending.js';
import type { JobHandlers, JobRequest } from './job.js';
import { runJob } from './runJob.js';
import { SILENCE_MS, SteadyClient } from '../store/steadyPool.js';
import { queueNames, queueOfJob, type JobName, type QueueName } from '../contracts/index.js';

export type { JobHandlers, JobRequest, RunningJob } from './job.js';

export interface QueueCounts {
  readonly queue: QueueName;
  readonly waiting: number;
  readonly active: number;
  readonly delayed: number;
  readonly failed: number;
  /** How long the one that is next has waited; null when none waits. */
  readonly oldestWaitingMs: number | null;
}

export interface QueueBackend {
  readonly kind: 'postgres' | 'redis';
  add(requests: readonly JobRequest[]): Promise<void>;
  /** Puts an ended job back to work. */
  restart(job: JobName, jobId: string): Promise<boolean>;
  counts(): Promise<QueueCounts[]>;
  /** Null where the jobs wait in PostgreSQL. */
  redisVersion(): Promise<string | null>;
  everyMs(job: JobName, intervalMs: number): Promise<void>;
  /**
   * Puts right what faults leave: work that the rows say is under way and the queue no longer has (it was emptied, or
   * gave it up), and times that a clock set back left in the future.
   */
  mend(underWay: readonly JobRequest[]): Promise<void>;
  /** Ended jobs older than this are dropped from the queue's own tables. */
  prune(olderThanMs: number): Promise<void>;
  work(
    handlers: JobHandlers,
    concurrency: Readonly<Record<QueueName, number>>,
    report: (error: Error) => void,
  ): Promise<Workers>;
  close(): Promise<void>;
}
export interface Workers {
  /** Stops taking jobs and waits for those at work. */
  drain(): Promise<void>;
}

export const ATTEMPTS = 3;

/** A killed worker's job is taken up again within about this time. */
const LOCK_MS = 8_000;
const STALLED_CHECK_MS = 3_000;
/** The queue itself never gives a job up for having lost its worker: the handlers do, with a reason people can read. */
const STALLS_ALLOWED = 1_000_000;

const jobOptions = { attempts: ATTEMPTS, backoff: { type: 'exponential', delay: 500 } } as const;

type AnyQueue = MendedQueue &
  Pick<
    Queue,
    | 'getJob'
    | 'getJobs'
    | 'getJobCounts'
    | 'getJobScheduler'
    | 'removeJobScheduler'
    | 'upsertJobScheduler'
    | 'clean'
    | 'close'
    | 'on'
    | 'waitUntilReady'
  >;
type AnyWorker = {
  close(force?: boolean): Promise<void>;
  waitUntilReady(): Promise<unknown>;
  on(event: 'error', listener: (error: Error) => void): unknown;
};

interface Connected {
  readonly kind: 'postgres' | 'redis';
  queue(name: QueueName): AnyQueue;
  worker(
    name: QueueName,
    process: (job: Job, token?: string) => Promise<void>,
    options: Omit<WorkerOptions, 'connection'>,
  ): AnyWorker;
  /** Before workers take jobs: those of a run that was killed, where no other worker can be at them. */
  freeOrphans(): Promise<void>;
  /** Locks and checks that a clock set back left in the future. */
  mendClock(now: number): Promise<void>;
  redisVersion(): Promise<string | null>;
  end(): Promise<void>;
}

export interface QueuePlace {
  readonly databaseUrl: string;
  readonly redisUrl?: string | undefined;
  /** No other process has workers on these queues: what is at work when this one starts was left by a killed one. */
  readonly alone?: boolean;
}

export function openQueues(where: QueuePlace, report: (error: Error) => void): QueueBackend {
  const connected = where.redisUrl ? onRedis(where.redisUrl, report) : onPostgres(where);
  const queues = new Map<QueueName, AnyQueue>();
  const every = new Map<JobName, number>();
  const use = async <T>(name: QueueName, work: (queue: AnyQueue) => Promise<T>): Promise<T> => {
    const queue = queues.get(name) ?? connected.queue(name);
    if (!queues.has(name)) {
      queue.on('error', report);
      queues.set(name, queue);
    }
    try {
      return await work(queue);
    } catch (error) {
      // A queue first opened while the database was away remembers that for ever: the next use opens another.
      await queue.waitUntilReady().catch(() => {
        if (queues.get(name) === queue) queues.delete(name);
        return queue.close().catch(report);
      });
      throw error;
    }
  };
  return {
    kind: connected.kind,
    add: async (requests) => {
      for (const name of queueNames) {
        const mine = requests.filter(({ job }) => queueOfJob[job] === name);
        if (mine.length > 0) await use(name, (queue) => queue.addBulk(mine.map(asBulkJob)));
      }
    },
    restart: async (job, jobId) => {
      const found = await use(queueOfJob[job], (queue) => queue.getJob(jobId) as Promise<Job | undefined>);
      if (!found) return false;
      await found.remove();
      return true;
    },
    counts: () => Promise.all(queueNames.map((name) => use(name, (queue) => countsOf(name, queue)))),
    redisVersion: () => connected.redisVersion(),
    everyMs: async (job, intervalMs) => {
      every.set(job, intervalMs);
      await use(queueOfJob[job], (queue) => schedule(queue, job, intervalMs));
    },
    mend: async (underWay) => {
      await connected.mendClock(Date.now());
      for (const [job, intervalMs] of every)
        await use(queueOfJob[job], (queue) => schedule(queue, job, intervalMs));
      for (const name of queueNames) {
        const mine = underWay.filter(({ job }) => queueOfJob[job] === name);
        await use(name, (queue) => putBack(queue, mine.map(asBulkJob)));
        await use(name, (queue) => mendDelays(queue, Date.now()));
      }
    },
    prune: async (olderThanMs) => {
      for (const name of queueNames) {
        await use(name, (queue) => queue.clean(olderThanMs, 1000, 'completed'));
        await use(name, (queue) => queue.clean(olderThanMs * 4, 1000, 'failed'));
      }
    },
    work: (handlers, concurrency, tell) => startWorkers(connected, handlers, concurrency, tell),
    close: async () => {
      await Promise.all([...queues.values()].map((queue) => queue.close()));
      await connected.end();
    },
  };
}

function asBulkJob({ job, jobId, payload, priority }: JobRequest) {
  return { name: job, data: payload, opts: { ...jobOptions, jobId, ...(priority ? { priority } : {}) } };
}

/** Again only when it is missing, of another interval, or waits for a time beyond it, as after a clock set back. */
async function schedule(queue: AnyQueue, job: JobName, every: number): Promise<void> {
  const id = `every-${job}`;
  const known = await queue.getJobScheduler(id);
  if (known?.every === every && (known.next ?? 0) <= Date.now() + 2 * every) return;
  if (known) await queue.removeJobScheduler(id);
  await queue.upsertJobScheduler(id, { every }, { name: job, data: { asked: 'by the clock' } });
}

/** One state on PostgreSQL; on Redis what has a priority is kept apart. */
const WAITING = ['waiting', 'prioritized'] as const;

async function countsOf(queue: QueueName, from: AnyQueue): Promise<QueueCounts> {
  const counts = await from.getJobCounts('waiting', 'prioritized', 'active', 'delayed', 'failed');
  const of = (state: string) => counts[state] ?? 0;
  const [next] = of('waiting') + of('prioritized') > 0 ? await from.getJobs([...WAITING], 0, 0, true) : [];
  return {
    queue,
    waiting: of('waiting') + of('prioritized'),
    active: of('active'),
    delayed: of('delayed'),
    failed: of('failed'),
    oldestWaitingMs: next ? Math.max(0, Date.now() - next.timestamp) : null,
  };
}

async function startWorkers(
  connected: Connected,
  handlers: JobHandlers,
  concurrency: Readonly<Record<QueueName, number>>,
  report: (error: Error) => void,
): Promise<Workers> {
  const workers: AnyWorker[] = [];
  const drain = async () => void (await Promise.all(workers.map((worker) => worker.close())));
  try {
    await connected.freeOrphans();
    for (const name of queueNames) {
      const worker = connected.worker(name, (job, token) => runJob(handlers, job, token), {
        concurrency: concurrency[name],
        lockDuration: LOCK_MS,
        stalledInterval: STALLED_CHECK_MS,
        maxStalledCount: STALLS_ALLOWED,
        drainDelay: 2,
      });
      worker.on('error', report);
      workers.push(worker);
    }
    await Promise.all(workers.map((worker) => worker.waitUntilReady()));
  } catch (error) {
    // Half a set of workers must not go on taking jobs of a process that gives up.
    await drain();
    throw error;
  }
  return { drain };
}

/**
 * The queue's own transactions do not wait for the disk. When the database itself crashes, the last moments of the queue
 * may be lost, and nothing else: the outbox marks a request as sent in a later transaction that does wait, and what is
 * on the disk is there with all that was committed before it. A job that is then as it was a moment ago is handed out
 * again, and its effects apply once; what rows say is under way is put back every few seconds besides.
 */
const UNHURRIED = '-c synchronous_commit=off';

function onPostgres({ databaseUrl, alone }: QueuePlace): Connected {
  const classes = withBackend(createPostgresBackend);
  const connection = {
    connectionString: databaseUrl,
    schema: QUEUE_SCHEMA,
    migrate: true,
    max: 6,
    Client: SteadyClient,
    options: UNHURRIED,
  };
  return {
    kind: 'postgres',
    queue: (name) => new classes.Queue(name, { connection }) as unknown as AnyQueue,
    worker: (name, process, options) => new classes.Worker(name, process, { ...options, connection }),
    freeOrphans: async () => void (alone && (await endOrphans(databaseUrl))),
    mendClock: (now) => mendClock(databaseUrl, now, { lockMs: LOCK_MS, checkMs: STALLED_CHECK_MS }),
    redisVersion: async () => null,
    end: async () => undefined,
  };
}

function onRedis(redisUrl: string, report: (error: Error) => void): Connected {
  const client = new Redis(redisUrl, { maxRetriesPerRequest: null, socketTimeout: SILENCE_MS });
  client.on('error', report);
  const connection = client as unknown as QueueOptions['connection'];
  const blocking: Redis[] = [];
  return {
    kind: 'redis',
    queue: (name) => new Queue(name, { connection, prefix: 'sojourn' }),
    worker: (name, process, options) => {
      const own = client.duplicate();
      own.on('error', report);
      blocking.push(own);
      return new RedisWorker(name, process, {
        ...options,
        connection: own,
        prefix: 'sojourn',
      });
    },
    // Redis counts locks down by its own clock.
    freeOrphans: async () => undefined,
    mendClock: async () => undefined,
    redisVersion: async () => /^redis_version:(\S+)/m.exec(await client.info('server'))?.[1] ?? null,
    end: async () => {
      for (const each of [...blocking, client]) await each.quit().catch(() => each.disconnect());
    },
  };
}
