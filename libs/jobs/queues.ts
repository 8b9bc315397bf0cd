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
import {
  queueNames,
  queueOfJob,
  type JobName,
  type JobPayloads,
  type QueueName,
} from '../contracts/index.js';

export interface JobRequest {
  readonly job: JobName;
  readonly jobId: string;
  readonly payload: unknown;
}
export interface RunningJob<J extends JobName = JobName> {
  readonly name: J;
  readonly id: string;
  readonly payload: JobPayloads[J];
  /** How often it was started before this time. */
  readonly attemptsBefore: number;
  readonly lastAttempt: boolean;
}
export type JobHandlers = { readonly [J in JobName]: (job: RunningJob<J>) => Promise<void> };

export interface QueueCounts {
  readonly queue: QueueName;
  readonly waiting: number;
  readonly active: number;
  readonly delayed: number;
  readonly failed: number;
}

export interface QueueBackend {
  readonly kind: 'postgres' | 'redis';
  add(requests: readonly JobRequest[]): Promise<void>;
  /** Puts an ended job back to work. */
  restart(job: JobName, jobId: string): Promise<boolean>;
  counts(): Promise<QueueCounts[]>;
  everyMs(job: JobName, intervalMs: number): Promise<void>;
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
/** A job may lose its worker often without being at fault itself; what fails by itself is counted by attempts. */
const STALLS_ALLOWED = 20;

const jobOptions = { attempts: ATTEMPTS, backoff: { type: 'exponential', delay: 500 } } as const;

type AnyQueue = Pick<
  Queue,
  'addBulk' | 'getJob' | 'getJobCounts' | 'upsertJobScheduler' | 'clean' | 'close' | 'on' | 'waitUntilReady'
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
    process: (job: Job) => Promise<void>,
    options: Omit<WorkerOptions, 'connection'>,
  ): AnyWorker;
  end(): Promise<void>;
}

export function openQueues(
  where: { databaseUrl: string; redisUrl?: string | undefined },
  report: (error: Error) => void,
): QueueBackend {
  const connected = where.redisUrl ? onRedis(where.redisUrl, report) : onPostgres(where.databaseUrl);
  const queues = new Map<QueueName, AnyQueue>();
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
    everyMs: async (job, intervalMs) => {
      const scheduled = { name: job, data: { asked: 'by the clock' } };
      await use(queueOfJob[job], (queue) =>
        queue.upsertJobScheduler(`every-${job}`, { every: intervalMs }, scheduled),
      );
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

function asBulkJob({ job, jobId, payload }: JobRequest) {
  return { name: job, data: payload, opts: { ...jobOptions, jobId } };
}

async function countsOf(queue: QueueName, from: AnyQueue): Promise<QueueCounts> {
  const counts = await from.getJobCounts('waiting', 'active', 'delayed', 'failed');
  const of = (state: string) => counts[state] ?? 0;
  return {
    queue,
    waiting: of('waiting'),
    active: of('active'),
    delayed: of('delayed'),
    failed: of('failed'),
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
    for (const name of queueNames) {
      const worker = connected.worker(name, (job) => run(handlers, job), {
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

async function run(handlers: JobHandlers, job: Job): Promise<void> {
  const name = job.name as JobName;
  const handler = handlers[name] as ((job: RunningJob) => Promise<void>) | undefined;
  if (!handler) throw new Error(`No handler for the job ${job.name}.`);
  await handler({
    name,
    id: job.id ?? '',
    payload: job.data as JobPayloads[JobName],
    attemptsBefore: job.attemptsMade,
    lastAttempt: job.attemptsMade + 1 >= (job.opts.attempts ?? 1),
  });
}

function onPostgres(databaseUrl: string): Connected {
  const classes = withBackend(createPostgresBackend);
  const connection = { connectionString: databaseUrl, schema: 'queues', migrate: true, max: 6 };
  return {
    kind: 'postgres',
    queue: (name) => new classes.Queue(name, { connection }) as unknown as AnyQueue,
    worker: (name, process, options) => new classes.Worker(name, process, { ...options, connection }),
    end: async () => undefined,
  };
}

function onRedis(redisUrl: string, report: (error: Error) => void): Connected {
  const client = new Redis(redisUrl, { maxRetriesPerRequest: null });
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
    end: async () => {
      for (const each of [...blocking, client]) await each.quit().catch(() => each.disconnect());
    },
  };
}
