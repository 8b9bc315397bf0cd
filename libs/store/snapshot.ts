/** The whole database at one moment, table by table, while others go on writing; and back into an empty one. */
import type { Socket } from 'node:net';
import type { Readable } from 'node:stream';
import { pipeline } from 'node:stream/promises';
import pg from 'pg';
import { CopyIn, CopyOut } from './copyStreams.js';
import { keepAwake, SteadyClient } from './steadyPool.js';

export interface TableShape {
  readonly name: string;
  readonly columns: readonly string[];
}

export interface Snapshot {
  readonly tables: readonly TableShape[];
  /** Migrations applied, in their order. */
  readonly migrations: readonly string[];
  /** Last numbers given out; null where none was. */
  readonly sequences: Readonly<Record<string, string | null>>;
  copyOut(table: TableShape): CopyOut;
  /** Content hashes of the files this database says it keeps. */
  keptFiles(): Promise<string[]>;
  teamName(): Promise<string>;
  /** The newest link of the history; null in a database from before it was a chain. */
  historyHead(): Promise<{ number: number; hash: string } | null>;
  close(): Promise<void>;
  /** Without waiting for what is under way. */
  drop(): void;
}

/** Rows made by migrations, which an empty database has too. */
const MADE_BY_MIGRATIONS = ['_prisma_migrations', 'FeedCounter', 'HistoryHead'];

/** Values as text that any session reads back the same. */
const PLAIN_TEXT = `set time zone 'UTC'; set datestyle to 'ISO'; set intervalstyle to 'postgres';
  set bytea_output to 'hex'; set extra_float_digits to 3`;

const list = (columns: readonly string[]): string => columns.map(quoted).join(', ');
const quoted = (name: string): string => pg.escapeIdentifier(name);

export async function openSnapshot(url: string): Promise<Snapshot> {
  const client = new SteadyClient(url);
  // A connection that breaks fails the copy that is at work; between two it is told by the next.
  client.on('error', () => undefined);
  await client.connect();
  // While files are read nothing is asked of it.
  keepAwake(client);
  try {
    await client.query(PLAIN_TEXT);
    await client.query('begin isolation level repeatable read read only');
    return {
      tables: await tablesOf(client),
      migrations: await migrationsOf(client),
      sequences: await sequencesOf(client),
      copyOut: ({ name, columns }) =>
        client.query(new CopyOut(`copy ${quoted(name)} (${list(columns)}) to stdout`)),
      keptFiles: async () =>
        (await client.query<{ sha256: string }>('select "sha256" from "Blob"')).rows.map((row) => row.sha256),
      teamName: async () =>
        (await client.query<{ name: string }>('select "name" from "Installation"')).rows[0]?.name ?? '',
      historyHead: () => headOf(client),
      close: () => client.end(),
      drop: () => (client as unknown as { connection: { stream: Socket } }).connection.stream.destroy(),
    };
  } catch (error) {
    await client.end();
    throw error;
  }
}

async function tablesOf(client: pg.Client): Promise<TableShape[]> {
  const answer = await client.query<TableShape>(
    `select c.relname as name, array_agg(a.attname::text order by a.attnum) as columns
     from pg_class c join pg_attribute a on a.attrelid = c.oid
     where c.relnamespace = 'public'::regnamespace and c.relkind = 'r' and c.relname <> '_prisma_migrations'
       and a.attnum > 0 and not a.attisdropped and a.attgenerated = ''
     group by c.relname order by c.relname`,
  );
  return answer.rows;
}

async function migrationsOf(client: pg.Client): Promise<string[]> {
  const answer = await client.query<{ name: string }>(
    `select migration_name as name from _prisma_migrations
     where finished_at is not null and rolled_back_at is null order by migration_name`,
  );
  return answer.rows.map(({ name }) => name);
}

async function headOf(client: pg.Client): Promise<{ number: number; hash: string } | null> {
  const there = await client.query<{ name: string | null }>(
    `select to_regclass('"HistoryHead"')::text as name`,
  );
  if (!there.rows[0]?.name) return null;
  const { rows } = await client.query<{ number: string; hash: string }>(
    'select "number", "hash" from "HistoryHead" where "id" = 1',
  );
  return rows[0] ? { number: Number(rows[0].number), hash: rows[0].hash } : null;
}

async function sequencesOf(client: pg.Client): Promise<Record<string, string | null>> {
  const answer = await client.query<{ name: string; last: string | null }>(
    `select sequencename as name, last_value::text as last from pg_sequences where schemaname = 'public'`,
  );
  return Object.fromEntries(answer.rows.map(({ name, last }) => [name, last]));
}

/** The names of tables that hold rows somebody made; empty too when there is no such database yet. */
export async function filledTables(url: string): Promise<string[]> {
  const client = new pg.Client({ connectionString: url });
  try {
    await client.connect();
  } catch (error) {
    if ((error as { code?: string }).code === '3D000') return [];
    throw error;
  }
  try {
    const filled: string[] = [];
    for (const { name } of await tablesOf(client)) {
      if (MADE_BY_MIGRATIONS.includes(name)) continue;
      const answer = await client.query<{ some: boolean }>(
        `select exists (select 1 from ${quoted(name)}) as some`,
      );
      if (answer.rows[0]?.some) filled.push(name);
    }
    return filled;
  } finally {
    await client.end();
  }
}

export interface TableToFill extends TableShape {
  readonly rows: number;
  open(): Promise<Readable>;
}

/** Fills the tables of an empty database in one transaction: all rows are there, or none. */
export async function fillTables(
  url: string,
  tables: readonly TableToFill[],
  sequences: Readonly<Record<string, string | null>>,
): Promise<void> {
  const client = new pg.Client({ connectionString: url, keepAlive: true });
  client.on('error', () => undefined);
  await client.connect();
  try {
    await client.query(PLAIN_TEXT);
    await client.query('begin');
    const names = tables.map(({ name }) => quoted(name)).join(', ');
    await client.query(`truncate ${names}`);
    for (const table of await parentsFirst(client, tables)) await fillTable(client, table);
    for (const [name, last] of Object.entries(sequences)) {
      if (last !== null) await client.query('select setval($1::regclass, $2)', [quoted(name), last]);
    }
    await client.query('commit');
  } finally {
    await client.end();
  }
}

async function fillTable(client: pg.Client, table: TableToFill): Promise<void> {
  const { name, columns, rows } = table;
  const into = client.query(new CopyIn(`copy ${quoted(name)} (${list(columns)}) from stdin`));
  await pipeline(await table.open(), into);
  if (into.rows !== rows) throw new Error(`The table ${name} took ${into.rows} rows of ${rows}.`);
}

/** Rows that others point to go in before those that point to them. */
async function parentsFirst(client: pg.Client, tables: readonly TableToFill[]): Promise<TableToFill[]> {
  const answer = await client.query<{ child: string; parent: string }>(
    `select distinct c.relname as child, p.relname as parent from pg_constraint k
     join pg_class c on c.oid = k.conrelid join pg_class p on p.oid = k.confrelid
     where k.contype = 'f' and k.conrelid <> k.confrelid and not k.condeferrable`,
  );
  const sorted: TableToFill[] = [];
  for (let waiting = [...tables]; waiting.length > 0;) {
    const names = new Set(waiting.map(({ name }) => name));
    const isFree = ({ name }: TableToFill) =>
      !answer.rows.some(({ child, parent }) => child === name && names.has(parent));
    const free = waiting.filter(isFree);
    if (free.length === 0) throw new Error(`These tables point at each other: ${[...names].join(', ')}.`);
    sorted.push(...free);
    waiting = waiting.filter((table) => !free.includes(table));
  }
  return sorted;
}
