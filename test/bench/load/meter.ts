/** What some work costs a whole installation: processor time by kind, what the database writes, what stays. */
import { readdir, stat } from 'node:fs/promises';
import path from 'node:path';
import type { Database } from '../../../libs/store/database.js';
import type { House } from '../house.js';
import { costRow, type BenchRow } from '../row.js';
import { processesOf } from './processes.js';

export interface Spent {
  readonly mainThreadMs: number;
  readonly threadsMs: number;
  readonly readingMs: number;
  readonly databaseMs: number;
  /** Changes that dashboards were told of, and lines of the history. */
  readonly events: number;
  readonly lines: number;
  /** PostgreSQL's write-ahead log. */
  readonly logBytes: number;
  readonly rowBytes: number;
  readonly fileBytes: number;
}

const nothing: Spent = {
  mainThreadMs: 0,
  threadsMs: 0,
  readingMs: 0,
  databaseMs: 0,
  events: 0,
  lines: 0,
  logBytes: 0,
  rowBytes: 0,
  fileBytes: 0,
};

const join = (one: Spent, other: Spent, sign: 1 | -1): Spent =>
  Object.fromEntries(
    Object.entries(one).map(([name, value]) => [name, value + sign * other[name as keyof Spent]]),
  ) as unknown as Spent;

export const processorMs = ({ mainThreadMs, threadsMs, readingMs, databaseMs }: Spent): number =>
  mainThreadMs + threadsMs + readingMs + databaseMs;

/** Sums up stretches of work; what lies between them does not count. */
export class Meter {
  spent = nothing;
  constructor(
    private readonly house: House,
    private readonly database: Database,
  ) {}

  async during<T>(work: () => Promise<T>): Promise<T> {
    const before = await this.#reading();
    const answer = await work();
    this.spent = join(this.spent, join(await this.#reading(), before, -1), 1);
    return answer;
  }

  async #reading(): Promise<Spent> {
    const { mainThreadMs, threadsMs, readingMs, databaseMs } = await processesOf(this.house);
    const { rows } = await this.database.pool.query<Record<'events' | 'lines' | 'log' | 'rows', string>>(
      `select (select "number" from "FeedCounter") as "events", (select "number" from "HistoryHead") as "lines",
         pg_current_wal_insert_lsn() - '0/0'::pg_lsn as "log", pg_database_size(current_database()) as "rows"`,
    );
    const [now] = rows;
    return {
      mainThreadMs,
      threadsMs,
      readingMs,
      databaseMs,
      events: Number(now?.events),
      lines: Number(now?.lines),
      logBytes: Number(now?.log),
      rowBytes: Number(now?.rows),
      fileBytes: await bytesUnder(path.join(this.house.installation.home, 'blobs')),
    };
  }
}

async function bytesUnder(folder: string): Promise<number> {
  let bytes = 0;
  for (const entry of await readdir(folder, { withFileTypes: true, recursive: true }))
    if (entry.isFile()) bytes += (await stat(path.join(entry.parentPath, entry.name))).size;
  return bytes;
}

/** @param of what was done `runs` times while the meter ran */
export function costRows(of: string, { spent }: Meter, runs: number): BenchRow[] {
  const each = (what: string, total: number, unit: string) =>
    costRow(`${of}: ${what}`, total / runs, unit, runs);
  return [
    each('processor time', processorMs(spent), 'ms'),
    each('of that on the one main thread of the server', spent.mainThreadMs, 'ms'),
    each('of that in processes that read files', spent.readingMs, 'ms'),
    each('of that in PostgreSQL', spent.databaseMs, 'ms'),
    each('events told to dashboards', spent.events, ''),
    each('lines of the history', spent.lines, ''),
    each('written to the log of the database', spent.logBytes / 1000, 'kB'),
    each('rows kept, with their indexes', spent.rowBytes / 1000, 'kB'),
    each('files kept', spent.fileBytes / 1000, 'kB'),
  ].filter(({ ours }) => ours !== 0);
}
