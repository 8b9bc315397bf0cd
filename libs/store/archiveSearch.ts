/** Searching the archive. What a reader must not see yet never leaves the database. */
import {
  archiveNumberNames,
  stages,
  type ArchivedUnitView,
  type ArchiveNumber,
  type ArchiveOrder,
  type ArchiveQuery,
  type Stage,
  type UnitKind,
} from '../contracts/index.js';
import { sealedUnits } from './blindness.js';
import type { Database } from './database.js';
import { containedWords } from './loanSearch.js';
import { Prisma } from './generated/client.js';
import type { z } from 'zod';

export type ArchiveRow = Record<ArchiveNumber, number | null> & {
  readonly unitId: string;
  readonly unitName: string;
  readonly kind: UnitKind;
  readonly loanId: string;
  readonly loanTitle: string;
  readonly stage: Stage;
  readonly makerId: string;
  readonly makerName: string;
  readonly priceMinor: number | null;
  readonly currency: string;
  readonly responseAnalysisId: string | null;
  readonly impedanceAnalysisId: string | null;
  readonly algorithmVersion: string;
  readonly firstAt: Date;
  readonly updatedAt: Date;
  readonly invented: boolean;
};

/** Every archived unit with its loan and maker, as `a`, `u`, `l`, `m`. */
export const archiveTables = Prisma.sql`
  "ArchivedUnit" a
  join "Unit" u on u."id" = a."unitId"
  join "Loan" l on l."id" = u."loanId"
  join "Maker" m on m."id" = l."makerId"`;

export const archiveColumns = Prisma.sql`
  a."unitId", u."name" as "unitName", u."kind"::text as "kind", u."loanId", l."title" as "loanTitle",
  l."stage"::text as "stage", m."id" as "makerId", m."name" as "makerName", u."priceMinor", u."currency",
  a."responseAnalysisId", a."impedanceAnalysisId", a."algorithmVersion", a."firstAt", a."updatedAt", u."invented",
  ${Prisma.raw(archiveNumberNames.map((name) => `a."${name}"`).join(', '))}`;

const inside = stages.filter((stage) => !['published', 'returning', 'closed'].includes(stage));

/**
 * Seeing a unit's numbers before hearing it ends a listener's blindness, so a unit is shown to those who have opened
 * its data or sealed a session on it, and to every member once its review is out; never to somebody who is listening
 * to it blind. These are the units that are not shown: few, since most reviews of an archive are out, and found from
 * the loans that are not, so that it costs the same in a large archive.
 */
export const hiddenFrom = (accountId: string): Prisma.Sql => Prisma.sql`(
  select a."unitId" from "Loan" l join "Unit" u on u."loanId" = l."id" join "ArchivedUnit" a on a."unitId" = u."id"
  where l."stage" in (${Prisma.raw(inside.map((stage) => `'${stage}'`).join(', '))})
  and not exists (select 1 from "DataOpening" o where o."unitId" = a."unitId" and o."accountId" = ${accountId}::uuid)
  and not exists (select 1 from "ListeningSession" s where s."unitId" = a."unitId"
                  and s."listenerId" = ${accountId}::uuid and s."sealedAt" is not null)
  union ${sealedUnits(accountId)})`;

export interface ArchiveFound {
  readonly rows: ArchiveRow[];
  readonly total: number;
  readonly withheld: number;
}

export async function searchArchive(
  database: Database,
  query: z.output<typeof ArchiveQuery>,
  readerId: string,
): Promise<ArchiveFound> {
  const { prisma } = database;
  const order = orderOf(query.order);
  // One pass finds, counts and puts in order narrow rows; what a page shows is joined to it afterwards. The hidden are
  // counted without the limits on numbers: a count within them would tell the numbers.
  const lines = await prisma.$queryRaw<(ArchiveRow & Counts)[]>`
    with hidden as materialized (select h."unitId" from ${hiddenFrom(readerId)} h),
    found as materialized (
      select a."unitId", ${keyOf(query.sort)} as "key", ${and(numbersWithin(query, 'a'))} as "within",
        h."unitId" is not null as "hidden"
      from ${orderTables(query.sort)} left join hidden h on h."unitId" = a."unitId"
      where ${and([...wordsOf(query), ...kindOf(query)])}),
    page as (
      select f."unitId", row_number() over (order by ${order}) as "at" from found f
      where f."within" and not f."hidden" order by ${order}
      limit ${query.pageSize} offset ${(query.page - 1) * query.pageSize}),
    counted as (
      select count(*) filter (where "within" and not "hidden")::int as "total",
             count(*) filter (where "hidden")::int as "withheld" from found)
    select counted.*, ${archiveColumns}
    from counted left join (page join ${archiveTables} on a."unitId" = page."unitId") on true order by page."at"`;
  const counts = lines.at(0);
  return {
    // An empty page is one line with the counts alone.
    rows: lines.filter(({ unitId }) => unitId !== null),
    total: counts?.total ?? 0,
    withheld: counts?.withheld ?? 0,
  };
}

type Counts = Pick<ArchiveFound, 'total' | 'withheld'>;

export const and = (conditions: readonly Prisma.Sql[]): Prisma.Sql =>
  Prisma.join([Prisma.sql`true`, ...conditions], ' and ');

/** Every word must stand somewhere in what the unit is called. */
function wordsOf({ text = '' }: { text?: string | undefined }): Prisma.Sql[] {
  return containedWords(text).map(
    (like) => Prisma.sql`a."unitId" in (
      select "id" from "Unit" where "name" ilike ${like} or "drivers" ilike ${like} or "finish" ilike ${like}
      union select o."id" from "Loan" l join "Unit" o on o."loanId" = l."id" where l."title" ilike ${like}
      union select o."id" from "Maker" m join "Loan" l on l."makerId" = m."id" join "Unit" o on o."loanId" = l."id"
            where m."name" ilike ${like})`,
  );
}

function kindOf({
  kinds,
  makerId,
}: {
  kinds?: UnitKind[] | undefined;
  makerId?: string | undefined;
}): Prisma.Sql[] {
  return [
    ...(kinds
      ? [Prisma.sql`a."unitId" in (select "id" from "Unit" where "kind"::text in (${Prisma.join(kinds)}))`]
      : []),
    ...(makerId
      ? [
          Prisma.sql`a."unitId" in (select o."id" from "Loan" l join "Unit" o on o."loanId" = l."id"
            where l."makerId" = ${makerId}::uuid)`,
        ]
      : []),
  ];
}

export type NumberLimits = Pick<z.output<typeof ArchiveQuery>, `${ArchiveNumber}Min` | `${ArchiveNumber}Max`>;

/** @param table whose columns the numbers are */
export function numbersWithin(query: NumberLimits, table: string): Prisma.Sql[] {
  return archiveNumberNames.flatMap((name) => {
    const column = Prisma.raw(`${table}."${name}"`);
    const [least, most] = [query[`${name}Min`], query[`${name}Max`]];
    return [
      ...(least === undefined ? [] : [Prisma.sql`${column} >= ${least}`]),
      ...(most === undefined ? [] : [Prisma.sql`${column} <= ${most}`]),
    ];
  });
}

const otherOrders: Readonly<Record<Exclude<ArchiveOrder, ArchiveNumber>, string>> = {
  name: 'lower(u."name")',
  maker: 'lower(m."name")',
  measured: 'a."firstAt"',
};

/** What the order needs to know of each unit. */
const orderTables = (sort: ArchiveOrder): Prisma.Sql =>
  sort in otherOrders && sort !== 'measured' ? archiveTables : Prisma.sql`"ArchivedUnit" a`;

const keyOf = (sort: ArchiveOrder): Prisma.Sql =>
  Prisma.raw(sort in otherOrders ? otherOrders[sort as keyof typeof otherOrders] : `a."${sort}"`);

/** What was not measured comes last either way; ties keep one order from page to page. */
const orderOf = (order: 'rising' | 'falling'): Prisma.Sql =>
  Prisma.raw(`f."key" ${order === 'rising' ? 'asc' : 'desc'} nulls last, f."unitId" asc`);

export function presentArchived(row: ArchiveRow): ArchivedUnitView {
  return {
    unitId: row.unitId,
    unitName: row.unitName,
    kind: row.kind,
    loanId: row.loanId,
    loanTitle: row.loanTitle,
    stage: row.stage,
    makerId: row.makerId,
    makerName: row.makerName,
    priceMinor: row.priceMinor,
    currency: row.currency,
    responseAnalysisId: row.responseAnalysisId,
    impedanceAnalysisId: row.impedanceAnalysisId,
    numbers: Object.fromEntries(archiveNumberNames.map((name) => [name, row[name]])) as Record<
      ArchiveNumber,
      number | null
    >,
    algorithmVersion: row.algorithmVersion,
    measuredAt: row.firstAt.toISOString(),
    updatedAt: row.updatedAt.toISOString(),
    invented: row.invented,
  };
}
