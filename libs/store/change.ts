/**
 * A change is one transaction: the rows, the line in the history, the events for open dashboards and the
 * jobs it asks for. Either all of it is there after the commit, or none.
 */
import type { FeedPayloads, FeedType, JobName, JobPayloads, Room } from '../contracts/index.js';
import type { Database, Tx } from './database.js';
import { Prisma } from './generated/client.js';
import { appendHistory, type NewEntry } from './historyChain.js';
import { currentTrace } from './traces.js';

export const FEED_CHANNEL = 'sojourn_feed';
export const OUTBOX_CHANNEL = 'sojourn_outbox';

/** Who does it. The house itself acts too (a deadline, a finished job). */
export interface Actor {
  readonly id: string | null;
  readonly name: string;
}
export const theHouse: Actor = { id: null, name: 'Sojourn' };

export interface HistoryLine {
  readonly action: string;
  readonly subject: string;
  readonly subjectId: string;
  /** A sentence people read: "moved the loan to measuring". */
  readonly sentence: string;
  readonly loanId?: string | null;
  readonly before?: unknown;
  readonly after?: unknown;
  readonly reason?: string | null;
  /** When and by whom, where the line tells of something earlier than this change. */
  readonly earlier?: { readonly at: Date; readonly by: Actor };
}

interface PendingEvent {
  readonly room: Room;
  readonly type: FeedType;
  readonly payload: unknown;
}
interface PendingJob {
  readonly job: JobName;
  readonly jobId: string;
  readonly payload: unknown;
  readonly priority: number | null;
}

export class Change {
  readonly tx: Tx;
  readonly actor: Actor;
  readonly #history: HistoryLine[] = [];
  readonly #events: PendingEvent[] = [];
  readonly #jobs: PendingJob[] = [];

  constructor(tx: Tx, actor: Actor) {
    this.tx = tx;
    this.actor = actor;
  }

  record(line: HistoryLine): void {
    this.#history.push(line);
  }

  publish<T extends FeedType>(room: Room, type: T, payload: FeedPayloads[T]): void {
    this.#events.push({ room, type, payload });
  }

  /**
   * @param jobId stable, so that asking twice is doing once; letters, digits and dashes, no colon
   * @param priority its place among what waits, 1 first; without one it comes before all that have one
   */
  request<J extends JobName>(job: J, jobId: string, payload: JobPayloads[J], priority?: number): void {
    this.#jobs.push({ job, jobId, payload, priority: priority ?? null });
  }

  /** Applies an effect once, however often its job runs. @returns false when it was applied before. */
  async once(key: string): Promise<boolean> {
    const made = await this.tx
      .$executeRaw`insert into "AppliedEffect" ("key") values (${key}) on conflict do nothing`;
    return made === 1;
  }

  /**
   * Written last, so that the history's head and the feed's counter are held for as short a time as can be; always
   * in this order, so that no two changes wait for each other.
   */
  async flush(): Promise<void> {
    if (this.#jobs.length > 0) await this.#flushJobs();
    if (this.#history.length > 0) {
      await appendHistory(
        this.tx,
        this.#history.map((line) => this.#entry(line)),
      );
    }
    if (this.#events.length > 0) await this.#flushEvents();
  }

  async #flushJobs(): Promise<void> {
    const trace = currentTrace() ?? null;
    const jobs = this.#jobs.map((job, place) => ({ ...job, payload: json(job.payload), place }));
    await this.tx.$executeRaw`
      with asked as (
        insert into "OutboxRequest" ("job", "jobId", "payload", "priority", "trace")
        select "job", "jobId", "payload", "priority", ${trace}::text
        from jsonb_to_recordset(${JSON.stringify(jobs)}::jsonb)
          as request("place" integer, "job" text, "jobId" text, "payload" jsonb, "priority" integer)
        order by "place")
      select pg_notify(${OUTBOX_CHANNEL}, '')`;
  }

  /** One way to the database: others wait for the counter. */
  async #flushEvents(): Promise<void> {
    const count = this.#events.length;
    const events = this.#events.map((event, at) => ({
      ...event,
      place: at + 1,
      payload: json(event.payload),
    }));
    const counted = await this.tx.$executeRaw`
      with counted as (
        update "FeedCounter" set "number" = "number" + ${count} where "id" = 1 returning "number"),
      written as (
        insert into "FeedEvent" ("number", "at", "room", "type", "payload")
        select counted."number" - ${count} + "place", ${new Date().toISOString()}::timestamptz, "room", "type", "payload"
        from counted, jsonb_to_recordset(${JSON.stringify(events)}::jsonb)
          as event("place" integer, "room" text, "type" text, "payload" jsonb))
      select pg_notify(${FEED_CHANNEL}, "number"::text) from counted`;
    if (counted !== 1) throw new Error('The feed counter is missing: the database was not migrated.');
  }

  #entry(line: HistoryLine): NewEntry {
    const { id, name } = line.earlier?.by ?? this.actor;
    return {
      at: line.earlier?.at,
      actorId: id,
      actorName: wellFormed(name),
      action: line.action,
      loanId: line.loanId ?? null,
      subject: line.subject,
      subjectId: line.subjectId,
      sentence: wellFormed(line.sentence),
      before: json(line.before),
      after: json(line.after),
      reason: line.reason == null ? null : wellFormed(line.reason),
    };
  }
}

/** Half a surrogate pair is no character: the database keeps none, and a hash must be of what is kept. */
const wellFormed = (text: string): string => text.replaceAll(/\p{Surrogate}/gu, '\uFFFD');

export function json(value: unknown): Prisma.InputJsonValue {
  return JSON.parse(
    JSON.stringify(value ?? null, (_key, inner: unknown) =>
      typeof inner === 'bigint' ? Number(inner) : typeof inner === 'string' ? wellFormed(inner) : inner,
    ),
  ) as Prisma.InputJsonValue;
}

/** No value in a JSON column. */
export const NULL_JSON = Prisma.DbNull;

const RETRIES = 5;

/**
 * Runs `work` as one change. Deadlocks and serialisation clashes are tried again: `work` must have no effects
 * outside the database.
 */
export async function change<T>(
  database: Database,
  actor: Actor,
  work: (change: Change) => Promise<T>,
): Promise<T> {
  for (let attempt = 1; ; attempt++) {
    try {
      return await database.prisma.$transaction(async (tx) => {
        const made = new Change(tx, actor);
        const result = await work(made);
        await made.flush();
        return result;
      });
    } catch (error) {
      if (attempt >= RETRIES || !isClash(error)) throw error;
    }
  }
}

function isClash(error: unknown): boolean {
  if (!(error instanceof Prisma.PrismaClientKnownRequestError)) return false;
  // P2034: write conflict or deadlock.
  return error.code === 'P2034' || /40001|40P01/.test(JSON.stringify(error.meta ?? {}));
}
