/** Reading the feed: what happened in a room after a number, and being woken when more has come. */
import type { FeedEvent, Room } from '../contracts/index.js';
import { FEED_CHANNEL, OUTBOX_CHANNEL } from './change.js';
import type { Database } from './database.js';
import { DRAFT_CHANNEL } from './draftDocuments.js';
import { keepAwake, SteadyClient } from './steadyPool.js';

const PAGE = 500;

export interface FeedPage {
  readonly events: FeedEvent[];
  /** Everything up to this number has been said for these rooms. */
  readonly upTo: number;
  readonly more: boolean;
}

export async function lastFeedNumber(database: Database): Promise<number> {
  const answer = await database.pool.query<{ number: string }>(
    'select "number" from "FeedCounter" where "id" = 1',
  );
  return Number(answer.rows[0]?.number ?? 0);
}

/** @param rooms undefined for all rooms (the server's own fan-out) */
export async function eventsAfter(
  database: Database,
  after: number,
  rooms?: readonly Room[],
): Promise<FeedPage> {
  // The counter first: events committed in between are said next time, never skipped.
  const upTo = await lastFeedNumber(database);
  const answer = await database.pool.query<{
    number: string;
    at: Date;
    room: Room;
    type: string;
    payload: unknown;
  }>({
    name: 'feed-after',
    text: `select "number", "at", "room", "type", "payload" from "FeedEvent"
           where "number" > $1 and "number" <= $2 and ($3::text[] is null or "room" = any($3))
           order by "number" limit ${PAGE + 1}`,
    values: [after, upTo, rooms ?? null],
  });
  const more = answer.rows.length > PAGE;
  const rows = answer.rows.slice(0, PAGE);
  const events = rows.map(
    (row) => ({ ...row, number: Number(row.number), at: row.at.toISOString() }) as FeedEvent,
  );
  return { events, upTo: more ? (events.at(-1)?.number ?? after) : upTo, more };
}

export interface Wakes {
  feed(): void;
  outbox(): void;
  /** @param about what the notice says; undefined after a break, in which any may have been lost */
  draft(about: string | undefined): void;
}

/**
 * LISTEN on a connection of its own. A notice only wakes; what is read is always the tables, so a lost one costs
 * time, never an event. The connection is made again when it breaks, and both are woken then.
 */
export function listen(database: Database, wakes: Wakes): () => Promise<void> {
  let client: SteadyClient | undefined;
  let closed = false;
  let timer: NodeJS.Timeout | undefined;
  const connect = async (): Promise<void> => {
    if (closed) return;
    const next = new SteadyClient(database.url);
    client = next;
    let broken = false;
    const again = () => {
      if (broken || closed) return;
      broken = true;
      timer = setTimeout(() => void connect(), 500);
    };
    next.on('error', again);
    next.on('end', again);
    next.on('notification', ({ channel, payload }) => {
      if (channel === FEED_CHANNEL) wakes.feed();
      else if (channel === DRAFT_CHANNEL) wakes.draft(payload ?? '');
      else wakes.outbox();
    });
    try {
      await next.connect();
      keepAwake(next);
      await next.query(`listen ${FEED_CHANNEL}; listen ${OUTBOX_CHANNEL}; listen ${DRAFT_CHANNEL}`);
      wakes.feed();
      wakes.outbox();
      wakes.draft(undefined);
    } catch {
      // The database is away; `again` keeps trying until it is back.
      await next.end().catch(() => undefined);
      again();
    }
  };
  void connect();
  return async () => {
    closed = true;
    clearTimeout(timer);
    await client?.end().catch(() => undefined);
  };
}
