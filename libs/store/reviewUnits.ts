/** Searching the units of reviews that are out, as each stood when its review went out. */
import { archiveNumberNames, type ArchiveNumber, type ReviewUnitsQuery } from '../contracts/index.js';
import type { z } from 'zod';
import { and, numbersWithin } from './archiveSearch.js';
import type { Database } from './database.js';
import { Prisma, type PublishedUnit } from './generated/client.js';
import { containedWords } from './loanSearch.js';

export type ReviewUnitRow = Pick<
  PublishedUnit,
  | 'id'
  | 'name'
  | 'makerName'
  | 'kind'
  | 'drivers'
  | 'finish'
  | 'priceMinor'
  | 'currency'
  | 'invented'
  | ArchiveNumber
> & {
  readonly loanId: string;
  readonly reviewTitle: string;
  readonly publishedAt: Date;
  /** It can be laid over others. The curves themselves are not read for a list. */
  readonly hasCurves: boolean;
};

/** @param without loans that whoever reads must not be told of */
export async function searchReviewUnits(
  { prisma }: Database,
  query: z.output<typeof ReviewUnitsQuery>,
  without: readonly string[],
): Promise<{ rows: ReviewUnitRow[]; total: number }> {
  const order = orderOf(query);
  const conditions = [...wordsOf(query.text ?? ''), ...kindsOf(query.kinds), ...numbersWithin(query, 'u')];
  // One pass finds, counts and puts in order; what a page shows is joined to it afterwards.
  const lines = await prisma.$queryRaw<(ReviewUnitRow & { total: number })[]>`
    with found as materialized (
      select u."id", ${keyOf(query)} as "key"
      from "PublishedUnit" u join "Publication" p on p."id" = u."publicationId"
      where u."current" and p."state" = 'published' and not p."loanId"::text = any(${[...without]})
        and ${and(conditions)}),
    page as (
      select f."id", row_number() over (order by ${order}) as "at" from found f order by ${order}
      limit ${query.pageSize} offset ${(query.page - 1) * query.pageSize}),
    counted as (select count(*)::int as "total" from found)
    select counted."total", u."id", u."name", u."makerName", u."kind"::text as "kind", u."drivers", u."finish",
      u."priceMinor", u."currency", u."invented", ${numbers}, u."curves" is not null as "hasCurves",
      p."loanId", p."title" as "reviewTitle", p."publishedAt"
    from counted left join (page join "PublishedUnit" u on u."id" = page."id"
      join "Publication" p on p."id" = u."publicationId") on true order by page."at"`;
  // An empty page is one line with the count alone.
  return { rows: lines.filter(({ id }) => id !== null), total: lines.at(0)?.total ?? 0 };
}

const numbers = Prisma.raw(archiveNumberNames.map((name) => `u."${name}"`).join(', '));

/** Every word must stand somewhere in what the unit and its review are called. */
const wordsOf = (text: string): Prisma.Sql[] =>
  containedWords(text).map(
    (like) => Prisma.sql`(u."name" ilike ${like} or u."makerName" ilike ${like} or u."drivers" ilike ${like}
      or u."finish" ilike ${like} or p."title" ilike ${like})`,
  );

const kindsOf = (kinds: readonly string[] | undefined): Prisma.Sql[] =>
  kinds ? [Prisma.sql`u."kind"::text in (${Prisma.join([...kinds])})`] : [];

const otherKeys = { name: 'lower(u."name")', maker: 'lower(u."makerName")', measured: 'p."publishedAt"' };

const keyOf = ({ sort }: z.output<typeof ReviewUnitsQuery>): Prisma.Sql =>
  Prisma.raw(sort in otherKeys ? otherKeys[sort as keyof typeof otherKeys] : `u."${sort}"`);

/** What was not measured comes last either way; ties keep one order from page to page. */
const orderOf = ({ order }: z.output<typeof ReviewUnitsQuery>): Prisma.Sql =>
  Prisma.raw(`f."key" ${order === 'rising' ? 'asc' : 'desc'} nulls last, f."id" asc`);
