/** Which loans a list shows, a page at a time: found and put in order by the database, however many there are. */
import type { LoansQuery, PublishedQuery } from '../contracts/index.js';
import type { z } from 'zod';
import type { Tx } from './database.js';
import { Prisma } from './generated/client.js';

/**
 * Open loans first, the nearest return date before the others; then the closed ones, the latest before the others.
 * The index of the migration is over these very expressions.
 */
const ORDER = Prisma.raw(`(l."stage" = 'closed'), (case when l."returnBy" is null then 1000000
  when l."stage" = 'closed' then date '2000-01-01' - l."returnBy" else l."returnBy" - date '2000-01-01' end), l."id"`);

/** @returns the ids of one page, in order; none when the loan to go on after is not there any more */
export async function findLoans(tx: Tx, query: z.output<typeof LoansQuery>): Promise<string[]> {
  const conditions = [
    Prisma.sql`true`,
    ...(query.show === 'all' ? [] : [stageOf(query.show)]),
    ...(query.makerId === undefined ? [] : [Prisma.sql`l."makerId" = ${query.makerId}::uuid`]),
    ...wordsOf(query.text ?? ''),
    ...(query.after === undefined
      ? []
      : [Prisma.sql`(${ORDER}) > (select ${ORDER} from "Loan" l where l."id" = ${query.after}::uuid)`]),
  ];
  const rows = await tx.$queryRaw<{ id: string }[]>`
    select l."id" from "Loan" l where ${Prisma.join(conditions, ' and ')} order by ${ORDER} limit ${query.limit}`;
  return rows.map(({ id }) => id);
}

/** All that are open, the nearest return date first. */
export async function openLoans(tx: Tx): Promise<string[]> {
  const rows = await tx.$queryRaw<{ id: string }[]>`
    select l."id" from "Loan" l where ${stageOf('open')} order by l."returnBy", l."id"`;
  return rows.map(({ id }) => id);
}

/** The loans whose reviews are out, the latest first: the ids of one page. */
export async function publishedLoans(tx: Tx, query: z.output<typeof PublishedQuery>): Promise<string[]> {
  const before =
    query.after === undefined
      ? Prisma.sql`true`
      : Prisma.sql`("publishedAt", "id") < (select "publishedAt", "id" from "Loan" where "id" = ${query.after}::uuid)`;
  const rows = await tx.$queryRaw<{ id: string }[]>`
    select "id" from "Loan" where "publishedAt" is not null and ${before}
    order by "publishedAt" desc, "id" desc limit ${query.limit}`;
  return rows.map(({ id }) => id);
}

/** Of loans as `l`. */
export const stageOf = (show: 'open' | 'closed'): Prisma.Sql =>
  Prisma.raw(`(l."stage" = 'closed') = ${show === 'closed' ? 'true' : 'false'}`);

/** Every word must stand in the title, in the maker's name or in that of a unit. */
function wordsOf(text: string): Prisma.Sql[] {
  return containedWords(text).map(
    (like) => Prisma.sql`l."id" in (
      select "id" from "Loan" where "title" ilike ${like}
      union select o."id" from "Maker" m join "Loan" o on o."makerId" = m."id" where m."name" ilike ${like}
      union select "loanId" from "Unit" where "name" ilike ${like})`,
  );
}

/** Words as patterns that find them anywhere, their signs taken as they are. */
export const containedWords = (text: string): string[] =>
  text
    .split(/\s+/)
    .filter((word) => word !== '')
    .map((word) => `%${word.replaceAll(/[\\%_]/g, String.raw`\$&`)}%`);
