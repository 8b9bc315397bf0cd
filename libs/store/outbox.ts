/** Hands the outbox's requests to a queue, in order, at least once. */
import type { JobName } from '../contracts/index.js';
import type { Database } from './database.js';

export interface OutboxJob {
  readonly job: JobName;
  readonly jobId: string;
  readonly payload: unknown;
  readonly priority?: number | null;
  readonly trace?: string | null;
}

const BATCH = 100;

/**
 * Claims unsent requests and hands each to `send`, which must make the same job id only once. Rows are marked in
 * the same transaction: a kill between sending and marking sends again. Several relays share the work.
 *
 * @returns whether there may be more
 */
export async function relayOutbox(
  database: Database,
  send: (jobs: readonly OutboxJob[]) => Promise<void>,
): Promise<boolean> {
  const client = await database.pool.connect();
  try {
    await client.query('begin');
    const claimed = await client.query<OutboxJob & { id: string }>(
      `select "id", "job", "jobId", "payload", "priority", "trace" from "OutboxRequest" where "sentAt" is null
       order by "id" limit ${BATCH} for update skip locked`,
    );
    if (claimed.rows.length > 0) {
      await send(claimed.rows);
      await client.query('update "OutboxRequest" set "sentAt" = now() where "id" = any($1)', [
        claimed.rows.map((row) => row.id),
      ]);
    }
    await client.query('commit');
    return claimed.rows.length === BATCH;
  } catch (error) {
    await client.query('rollback').catch(() => undefined);
    throw error;
  } finally {
    client.release();
  }
}

/** Sent requests, applied effects and old feed events are kept for a while, then cleared. */
export async function clearOld(
  database: Database,
  keepDays: { outbox: number; feed: number },
): Promise<void> {
  await database.pool.query(
    `delete from "OutboxRequest" where "sentAt" < now() - make_interval(days => $1)`,
    [keepDays.outbox],
  );
  await database.pool.query(`delete from "FeedEvent" where "at" < now() - make_interval(days => $1)`, [
    keepDays.feed,
  ]);
}
