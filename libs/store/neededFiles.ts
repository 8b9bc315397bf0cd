/** Which files some row still names. Any column of any table counts, so that a table that is added keeps its files. */
import type { Tx } from './database.js';
import { Prisma } from './generated/client.js';

/** What happened, and numbers: they may hold a file's hash, and need no file. `Blob` lists what there is. */
const NEEDS_NONE: readonly string[] = [
  'AppliedEffect.*',
  'Blob.*',
  'Computation.findings',
  'Computation.profile',
  'Computation.quality',
  'Computation.result',
  'Computation.summary',
  'FeedEvent.*',
  'HistoryEntry.*',
  'OutboxRequest.*',
];

interface Column {
  readonly table: string;
  readonly column: string;
}

/** The kind of an entry of the bin whose rows are gone and whose files are on their way out: it needs none either. */
export const LEAVING = 'files';

export async function neededFiles(tx: Tx, hashes: readonly string[]): Promise<ReadonlySet<string>> {
  const needed = new Set<string>();
  const columns = await tx.$queryRaw<Column[]>`
    select c.table_name as "table", c.column_name as "column" from information_schema.columns c
    join information_schema.tables t using (table_schema, table_name)
    where c.table_schema = 'public' and t.table_type = 'BASE TABLE' and c.data_type in ('text', 'jsonb', 'ARRAY')
    order by 1, 2`;
  const wanted = columns.filter(
    ({ table, column }) => !NEEDS_NONE.includes(`${table}.*`) && !NEEDS_NONE.includes(`${table}.${column}`),
  );
  for (const table of new Set(wanted.map(({ table: name }) => name))) {
    const names = wanted.filter(({ table: name }) => name === table);
    const texts = Prisma.join(names.map(({ column }) => Prisma.raw(`t."${column}"::text`)));
    const own = table === 'BinEntry' ? Prisma.sql`and t."kind" <> ${LEAVING}` : Prisma.empty;
    const rows = await tx.$queryRaw<{ hash: string }[]>`
      select distinct m[1] as hash from ${Prisma.raw(`"${table}"`)} t,
        regexp_matches(concat_ws(' ', ${texts}), '[0-9a-f]{64}', 'g') m
      where m[1] = any(${hashes}::text[]) ${own}`;
    for (const { hash } of rows) needed.add(hash);
  }
  return needed;
}
