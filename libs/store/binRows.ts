/**
 * Rows with all that hangs on them, taken out of their tables and put in again unchanged. What hangs on what is read
 * from the foreign keys, so a table that is added needs nothing here.
 */
import type { Tx } from './database.js';
import { Prisma } from './generated/client.js';

export interface TableRows {
  readonly table: string;
  readonly rows: readonly Readonly<Record<string, unknown>>[];
}

interface ForeignKey {
  readonly child: string;
  readonly parent: string;
  /** PostgreSQL's letter for what happens to the child: `c` goes with it, `n` loses the link, `a` forbids it. */
  readonly rule: string;
  readonly childColumns: readonly string[];
  readonly parentColumns: readonly string[];
}

/** Where the row is: the table, the name of its key and the key. */
export interface RootRow {
  readonly table: string;
  readonly column: 'id' | 'kind';
  readonly value: string;
}

const quoted = (name: string): Prisma.Sql => Prisma.raw(`"${name.replaceAll('"', '""')}"`);

/**
 * Takes a row and everything that would be deleted with it, each row held until the commit.
 *
 * @returns the tables in the order in which their rows go in again; empty when the row is not there
 */
export async function collectRows(tx: Tx, root: RootRow): Promise<TableRows[]> {
  const keys = await foreignKeys(tx);
  const found = new Map<string, Set<string>>();
  const type = root.column === 'id' ? Prisma.raw('::uuid') : Prisma.empty;
  const first = await tx.$queryRaw<{ at: string }[]>`
    select ctid::text as at from ${quoted(root.table)}
    where ${quoted(root.column)} = ${root.value}${type} for update`;
  if (first.length === 0) return [];
  const waiting = [{ table: root.table, places: first.map(({ at }) => at) }];
  for (let next = waiting.shift(); next; next = waiting.shift()) {
    const known = found.get(next.table) ?? new Set();
    const fresh = next.places.filter((place) => !known.has(place));
    found.set(next.table, new Set([...known, ...fresh]));
    if (fresh.length === 0) continue;
    for (const key of keys.filter(({ parent, rule }) => parent === next.table && rule === 'c'))
      waiting.push({ table: key.child, places: await childrenOf(tx, key, fresh) });
  }
  const collected: TableRows[] = [];
  for (const table of parentsFirst([...found.keys()], keys))
    collected.push({ table, rows: await rowsAt(tx, table, [...(found.get(table) ?? [])]) });
  return collected.filter(({ rows }) => rows.length > 0);
}

async function childrenOf(tx: Tx, key: ForeignKey, parents: readonly string[]): Promise<string[]> {
  const same = key.childColumns.map(
    (column, at) => Prisma.sql`c.${quoted(column)} = p.${quoted(key.parentColumns[at] ?? '')}`,
  );
  const rows = await tx.$queryRaw<{ at: string }[]>`
    select c.ctid::text as at from ${quoted(key.child)} c join ${quoted(key.parent)} p
    on ${Prisma.join(same, ' and ')} where p.ctid = any(${parents}::text[]::tid[]) for update of c`;
  return rows.map(({ at }) => at);
}

async function rowsAt(tx: Tx, table: string, places: readonly string[]): Promise<TableRows['rows']> {
  const answer = await tx.$queryRaw<{ row: Record<string, unknown> }[]>`
    select to_jsonb(t) as row from ${quoted(table)} t where ctid = any(${places}::text[]::tid[]) order by ctid`;
  return answer.map(({ row }) => row);
}

export async function deleteRow(tx: Tx, { table, column, value }: RootRow): Promise<void> {
  const type = column === 'id' ? Prisma.raw('::uuid') : Prisma.empty;
  await tx.$executeRaw`delete from ${quoted(table)} where ${quoted(column)} = ${value}${type}`;
}

/** Columns that a later version added take their default; those it dropped are left out. */
export async function insertRows(tx: Tx, { table, rows }: TableRows): Promise<void> {
  const [first] = rows;
  if (!first) return;
  const there = await tx.$queryRaw<{ name: string }[]>`
    select column_name as name from information_schema.columns
    where table_schema = 'public' and table_name = ${table} and is_generated = 'NEVER'`;
  const names = there.map(({ name }) => name).filter((name) => name in first);
  const columns = Prisma.join(names.map(quoted));
  await tx.$executeRaw`
    insert into ${quoted(table)} (${columns})
    select ${columns} from jsonb_populate_recordset(null::${quoted(table)}, ${JSON.stringify(rows)}::jsonb)`;
}

const foreignKeys = (tx: Tx): Promise<ForeignKey[]> => tx.$queryRaw<ForeignKey[]>`
  select c.relname::text as child, p.relname::text as parent, k.confdeltype::text as rule,
    (select array_agg(a.attname::text order by u.at) from unnest(k.conkey) with ordinality u (n, at)
      join pg_attribute a on a.attrelid = k.conrelid and a.attnum = u.n) as "childColumns",
    (select array_agg(a.attname::text order by u.at) from unnest(k.confkey) with ordinality u (n, at)
      join pg_attribute a on a.attrelid = k.confrelid and a.attnum = u.n) as "parentColumns"
  from pg_constraint k join pg_class c on c.oid = k.conrelid join pg_class p on p.oid = k.confrelid
  where k.contype = 'f' and k.connamespace = 'public'::regnamespace order by k.conname`;

/** A table that points to itself goes in by one statement, at whose end its links are checked. */
function parentsFirst(tables: readonly string[], keys: readonly ForeignKey[]): string[] {
  const sorted: string[] = [];
  for (let waiting = [...tables]; waiting.length > 0;) {
    const free = waiting.filter(
      (table) =>
        !keys.some(({ child, parent }) => child === table && parent !== table && waiting.includes(parent)),
    );
    if (free.length === 0) throw new Error(`These tables point at each other: ${waiting.join(', ')}.`);
    sorted.push(...free);
    waiting = waiting.filter((table) => !free.includes(table));
  }
  return sorted;
}
