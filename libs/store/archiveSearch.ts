/** Searching the archive. What a reader must not see yet never leaves the database. */
import {
  archiveNumberNames,
  type ArchivedUnitView,
  type ArchiveNumber,
  type ArchiveOrder,
  type ArchiveQuery,
  type Stage,
  type UnitKind,
} from '../contracts/index.js';
import { notSealedFrom } from './blindness.js';
import type { Database } from './database.js';
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

/**
 * Seeing a unit's numbers before hearing it ends a listener's blindness, so a unit is shown to those who have opened
 * its data or sealed a session on it, and to every member once its review is out; never to somebody who is listening
 * to it blind.
 */
export const visibleTo = (accountId: string): Prisma.Sql => Prisma.sql`(${notSealedFrom(accountId)} and (
  l."stage" in ('published', 'returning', 'closed')
  or exists (select 1 from "DataOpening" o where o."unitId" = a."unitId" and o."accountId" = ${accountId}::uuid)
  or exists (select 1 from "ListeningSession" s where s."unitId" = a."unitId"
             and s."listenerId" = ${accountId}::uuid and s."sealedAt" is not null)))`;

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
  const about = Prisma.join([Prisma.sql`true`, ...wordsOf(query), ...kindOf(query)], ' and ');
  const within = Prisma.join([Prisma.sql`true`, ...boundsOf(query)], ' and ');
  const visible = visibleTo(readerId);
  const [rows, counts] = await Promise.all([
    prisma.$queryRaw<ArchiveRow[]>`
      select ${archiveColumns} from ${archiveTables} where ${visible} and ${about} and ${within}
      order by ${orderOf(query.sort, query.order)}
      limit ${query.pageSize} offset ${(query.page - 1) * query.pageSize}`,
    // The hidden are counted without the limits on numbers: a count within them would tell the numbers.
    prisma.$queryRaw<{ total: number; withheld: number }[]>`
      select count(*) filter (where ${visible} and ${within})::int as "total",
             count(*) filter (where not ${visible})::int as "withheld"
      from ${archiveTables} where ${about}`,
  ]);
  return { rows, total: counts[0]?.total ?? 0, withheld: counts[0]?.withheld ?? 0 };
}

/** Every word must stand somewhere in what the unit is called. */
function wordsOf({ text = '' }: { text?: string | undefined }): Prisma.Sql[] {
  const words = text.split(/\s+/).filter((word) => word !== '');
  return words.map(
    (word) => Prisma.sql`concat_ws(' ', u."name", m."name", u."drivers", u."finish", l."title")
      ilike ${`%${word.replaceAll(/[\\%_]/g, String.raw`\$&`)}%`}`,
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
    ...(kinds ? [Prisma.sql`u."kind"::text in (${Prisma.join(kinds)})`] : []),
    ...(makerId ? [Prisma.sql`l."makerId" = ${makerId}::uuid`] : []),
  ];
}

function boundsOf(query: z.output<typeof ArchiveQuery>): Prisma.Sql[] {
  return archiveNumberNames.flatMap((name) => {
    const column = Prisma.raw(`a."${name}"`);
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

/** What was not measured comes last either way; ties keep one order from page to page. */
function orderOf(sort: ArchiveOrder, order: 'rising' | 'falling'): Prisma.Sql {
  const by = sort in otherOrders ? otherOrders[sort as keyof typeof otherOrders] : `a."${sort}"`;
  return Prisma.raw(`${by} ${order === 'rising' ? 'asc' : 'desc'} nulls last, a."unitId" asc`);
}

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
