/** Puts queues right after faults: work they lost or gave up, and times that a clock set back left in the future. */
import type { Job, Queue } from 'bullmq';
import pg from 'pg';

export const QUEUE_SCHEMA = 'queues';
/** No job waits longer than this between two tries; one that seems to was delayed by a clock that was ahead. */
export const LONGEST_PAUSE_MS = 60_000;

export type MendedQueue = Pick<Queue, 'addBulk' | 'getJobState' | 'remove' | 'getDelayed'>;
type BulkJob = Parameters<Queue['addBulk']>[0][number];

/**
 * Hands over again what the rows say is under way. A queue that still has it takes no second; a job that ended there
 * while its row did not (the database was away at the last moment) begins anew. Its effects apply once.
 */
export async function putBack(queue: MendedQueue, jobs: readonly BulkJob[]): Promise<void> {
  for (const { opts } of jobs) {
    const id = opts?.jobId ?? '';
    const state = await queue.getJobState(id);
    if (state === 'failed' || state === 'completed') await queue.remove(id);
  }
  if (jobs.length > 0) await queue.addBulk([...jobs]);
}

/** Tries again now what would wait for a time that the clock showed once. */
export async function mendDelays(queue: MendedQueue, now: number): Promise<void> {
  for (const job of (await queue.getDelayed(0, 500)) as (Job | undefined)[]) {
    // The clock's own jobs are mended with their schedule.
    if (!job || job.repeatJobKey) continue;
    const since = job.processedOn ?? job.timestamp;
    if (since + job.delay > now + LONGEST_PAUSE_MS) await job.promote();
  }
}

/** On PostgreSQL a lock ends by the worker's clock: one that was set back would keep a killed worker's job for long. */
export async function mendClock(
  databaseUrl: string,
  now: number,
  { lockMs, checkMs }: { readonly lockMs: number; readonly checkMs: number },
): Promise<void> {
  await withClient(databaseUrl, async (client) => {
    await client.query(
      `update ${QUEUE_SCHEMA}.job set locked_until_ms = $1 where state = 'active' and locked_until_ms > $2`,
      [now + lockMs, now + 2 * lockMs],
    );
    await client.query(
      `update ${QUEUE_SCHEMA}.meta set value = $1 where field = 'stalled-check' and value::bigint > $2`,
      [String(now), now + checkMs],
    );
  });
}

/** Puts back to waiting, at once, what a killed process was at. Only where no other process can be at it. */
export async function endOrphans(databaseUrl: string): Promise<void> {
  await withClient(databaseUrl, async (client) => {
    const { rows } = await client.query<{ there: boolean }>(
      `select to_regclass('${QUEUE_SCHEMA}.job') is not null as "there"`,
    );
    if (!rows[0]?.there) return;
    await client.query(
      `update ${QUEUE_SCHEMA}.job set state = 'waiting', lock_token = null, locked_until_ms = null,
         stalled_marked = false, stalled_count = stalled_count + 1 where state = 'active'`,
    );
  });
}

async function withClient(databaseUrl: string, work: (client: pg.Client) => Promise<void>): Promise<void> {
  const client = new pg.Client({ connectionString: databaseUrl, connectionTimeoutMillis: 10_000 });
  // Lost in the middle: the query in progress says so.
  client.on('error', () => undefined);
  await client.connect();
  try {
    await work(client);
  } finally {
    await client.end().catch(() => undefined);
  }
}
