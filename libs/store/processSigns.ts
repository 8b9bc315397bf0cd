/**
 * Signs of life of the processes of one installation, and what they share before there is an owner. They lie in a schema
 * of their own: what runs now is no memory, so it is neither backed up nor restored.
 */
import type { Database } from './database.js';

export interface ProcessSign {
  readonly id: string;
  readonly role: 'all' | 'api' | 'worker';
  readonly machine: string;
  readonly pid: number;
  readonly version: string;
  /** Which arithmetic it computes by, or asks for. */
  readonly algorithm: string;
  readonly node: string;
  /** Threads for the arithmetic of interactive analyses; 0 where nothing is computed. */
  readonly threads: number;
  readonly startedAt: Date;
}
export interface SeenProcess extends ProcessSign {
  readonly memoryBytes: number;
  readonly seenAt: Date;
}

const EVERY_MS = 5_000;
/** Silent for longer: it is gone, or its machine is. The row stays a while so that people can see that. */
const GONE_AFTER_S = 20;
const KEEP_GONE_S = 3600;

/**
 * Gives a sign of life now and every few seconds.
 * @returns stops it and takes the sign back: a process that was stopped on purpose is not missed
 */
export async function giveSigns(
  database: Database,
  sign: ProcessSign,
  report: (error: Error) => void,
): Promise<() => Promise<void>> {
  const give = () =>
    database.pool.query({
      name: 'process-sign',
      text: `insert into "running"."ProcessSign"
               ("id","role","machine","pid","version","algorithm","node","threads","startedAt","memoryBytes","seenAt")
             values ($1,$2,$3,$4,$5,$6,$7,$8,$9,$10,now())
             on conflict ("id") do update set "seenAt" = now(), "memoryBytes" = excluded."memoryBytes"`,
      values: [
        sign.id,
        sign.role,
        sign.machine,
        sign.pid,
        sign.version,
        sign.algorithm,
        sign.node,
        sign.threads,
        sign.startedAt,
        process.memoryUsage.rss(),
      ],
    });
  await give();
  await clearGone(database);
  let giving: Promise<unknown> | undefined;
  const timer = setInterval(() => {
    giving ??= give()
      .catch(report)
      .finally(() => (giving = undefined));
  }, EVERY_MS);
  timer.unref();
  return async () => {
    clearInterval(timer);
    await giving;
    await database.pool.query('delete from "running"."ProcessSign" where "id" = $1', [sign.id]);
  };
}

async function clearGone(database: Database): Promise<void> {
  await database.pool.query(
    'delete from "running"."ProcessSign" where "seenAt" < now() - make_interval(secs => $1)',
    [KEEP_GONE_S],
  );
}

/** Every process that gave a sign within the last hour, the oldest first; by the database's own clock. */
export async function seenProcesses(database: Database): Promise<(SeenProcess & { alive: boolean })[]> {
  const { rows } = await database.pool.query<SeenProcess & { memoryBytes: string; alive: boolean }>(
    `select *, "seenAt" > now() - make_interval(secs => $1) as "alive" from "running"."ProcessSign"
     where "seenAt" > now() - make_interval(secs => $2) order by "role", "startedAt"`,
    [GONE_AFTER_S, KEEP_GONE_S],
  );
  return rows.map((row) => ({ ...row, memoryBytes: Number(row.memoryBytes) }));
}

/** Threads that compute interactive analyses now, over all machines; 0 when no worker is alive. */
export async function computingThreads(database: Database): Promise<number> {
  const { rows } = await database.pool.query<{ threads: number }>(
    `select coalesce(sum("threads"), 0)::int as "threads" from "running"."ProcessSign"
     where "seenAt" > now() - make_interval(secs => $1)`,
    [GONE_AFTER_S],
  );
  return rows[0]?.threads ?? 0;
}

/**
 * The code that a first set-up from another machine must show. Whichever server is asked first keeps it for all:
 * a balancer may send the person to another one than the one that printed it.
 */
export async function firstRunCode(database: Database, offered: string): Promise<string> {
  await database.pool.query(
    'insert into "running"."FirstRun" ("id", "code") values (1, $1) on conflict do nothing',
    [offered],
  );
  const { rows } = await database.pool.query<{ code: string }>('select "code" from "running"."FirstRun"');
  return rows[0]?.code ?? offered;
}
