/** Exchanging a person's name and e-mail address wherever they stand in the texts of the house. */
import type { Tx } from './database.js';
import { Prisma } from './generated/client.js';

/**
 * Where they stay, and why: what was published, as it was published; other people's and things' own names; the words
 * of a review and of sealed listening; names that files came with, which their results are known by; the chained history,
 * which has an erasing of its own.
 */
export const STAYS: readonly string[] = [
  'Publication.content',
  'Publication.manifest',
  'Publication.title',
  'PublishedUnit.*',
  'ReaderFeedback.words',
  'Contact.*',
  'Maker.*',
  'Loan.title',
  'Unit.name',
  'Place.name',
  'Verdict.*',
  'SetFile.name',
  'Computation.*',
  'HistoryEntry.*',
  'ListeningSession.*',
  'Account.*',
];

export interface TextColumn {
  readonly table: string;
  readonly column: string;
  readonly type: 'text' | 'jsonb' | 'ARRAY';
}

/** Columns of words; keys are none, they are made by the house. */
export async function textColumns(tx: Tx): Promise<TextColumn[]> {
  const columns = await tx.$queryRaw<TextColumn[]>`
    select c.table_name as "table", c.column_name as "column", c.data_type as "type"
    from information_schema.columns c join information_schema.tables t using (table_schema, table_name)
    where c.table_schema = 'public' and t.table_type = 'BASE TABLE' and t.table_name <> '_prisma_migrations'
      and (c.data_type in ('text', 'jsonb') or (c.data_type = 'ARRAY' and c.udt_name = '_text'))
      and not exists (
        select 1 from information_schema.key_column_usage k join information_schema.table_constraints p
          using (constraint_schema, constraint_name)
        where k.table_schema = 'public' and k.table_name = c.table_name and k.column_name = c.column_name
          and p.constraint_type = 'PRIMARY KEY')
    order by 1, 2`;
  return columns.filter(
    ({ table, column }) => !STAYS.includes(`${table}.*`) && !STAYS.includes(`${table}.${column}`),
  );
}

export async function replaceInTexts(
  tx: Tx,
  person: { readonly name: string | null; readonly email: string },
  by: string,
): Promise<void> {
  const words = [person.email, ...(person.name === null ? [] : [person.name])];
  for (const { table, column, type } of await textColumns(tx)) {
    const name = Prisma.raw(`"${column}"`);
    const cast = Prisma.raw(type === 'text' ? '' : type === 'jsonb' ? '::jsonb' : '::text[]');
    for (const word of words) {
      // As it stands inside a JSON string, and only where it is a word of its own.
      const written = type === 'text' ? word : JSON.stringify(word).slice(1, -1);
      const pattern = `(?<![[:alnum:]])${written.replaceAll(/[^\p{L}\p{N} ]/gu, String.raw`\$&`)}(?![[:alnum:]])`;
      await tx.$executeRaw`update ${Prisma.raw(`"${table}"`)}
        set ${name} = regexp_replace(${name}::text, ${pattern}, ${by}, 'gi')${cast}
        where ${name}::text ~* ${pattern}`;
    }
  }
}
