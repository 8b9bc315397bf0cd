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
  // Counter and events as of one moment: what is committed meanwhile is said next time, never skipped.
  const answer = await database.pool.query<{
    upTo: string;
    number: string | null;
    at: Date;
    room: Room;
    type: string;
    payload: unknown;
  }>({
    name: 'feed-after',
    text: `select c."number" as "upTo", e.* from "FeedCounter" c left join lateral (
             select "number", "at", "room", "type", "payload" from "FeedEvent"
             where "number" > $1 and ($2::text[] is null or "room" = any($2))
             order by "number" limit ${PAGE + 1}) e on true
           where c."id" = 1 order by e."number"`,
    values: [after, rooms ?? null],
  });
  const upTo = Number(answer.rows[0]?.upTo ?? 0);
  const found = answer.rows.filter(({ number }) => number !== null);
  const more = found.length > PAGE;
  const rows = found.slice(0, PAGE);
  const events = rows.map(
    ({ number, at, room, type, payload }) =>
      ({ number: Number(number), at: at.toISOString(), room, type, payload }) as FeedEvent,
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
