/** The units nearest to one, ranked in the database from the profiles the worker left there. */
import type { Database } from './database.js';
import { archiveColumns, archiveTables, visibleTo, type ArchiveRow } from './archiveSearch.js';
import { Prisma } from './generated/client.js';

/**
 * How far apart two units must be in one part to count as 1: decibels for response and directivity, octaves for bass.
 * The house's own choice (no source): about where the difference begins to be a matter of character.
 */
const SCALES = { response: 1, directivity: 1, bass: 1 / 3 } as const;
export type ComparedPart = keyof typeof SCALES;
const columnOf = { response: 'responseDb', directivity: 'directivityDb', bass: 'bassOctaves' } as const;
/** Bands both must have measured: most of the twenty, or one of the two bass limits. */
const LEAST_SHARED = { response: 12, directivity: 12, bass: 1 } as const;

export type ComparableRow = ArchiveRow & { readonly distance: number } & Record<
    (typeof columnOf)[ComparedPart],
    number | null
  >;
export interface ComparablesFound {
  readonly comparedBy: ComparedPart[];
  readonly rows: ComparableRow[];
  readonly withheld: number;
}

/**
 * Nearest first by the root mean square of the parts' scaled distances, each an RMS over the bands both have. Only
 * units with every part that the unit itself has: a unit is not near because less of it was measured.
 *
 * @returns undefined when the unit is not in the archive
 */
export async function nearestUnits(
  database: Database,
  unitId: string,
  ask: { readonly among: 'earlier' | 'all'; readonly limit: number },
  readerId: string,
): Promise<ComparablesFound | undefined> {
  const { prisma } = database;
  const [has] = await prisma.$queryRaw<Record<ComparedPart, boolean>[]>`
    select cardinality("responseDb") > 0 as "response", cardinality("directivityDb") > 0 as "directivity",
           cardinality("bassOctaves") > 0 as "bass"
    from "ArchivedUnit" where "unitId" = ${unitId}::uuid`;
  if (!has) return undefined;
  const comparedBy = (Object.keys(SCALES) as ComparedPart[]).filter((part) => has[part]);
  if (comparedBy.length === 0) return { comparedBy, rows: [], withheld: 0 };
  const candidates = Prisma.sql`a."unitId" <> t."unitId" and ${ask.among === 'all' ? Prisma.sql`true` : Prisma.sql`a."firstAt" < t."firstAt"`}`;
  const visible = visibleTo(readerId);
  const [rows, counts] = await Promise.all([
    prisma.$queryRaw<ComparableRow[]>`
      with t as (select * from "ArchivedUnit" where "unitId" = ${unitId}::uuid),
      near as materialized (
        select a."unitId", ${Prisma.join(comparedBy.map(differenceOf))}
        from ${archiveTables}, t where ${candidates} and ${visible}),
      ranked as (
        select *, sqrt((${Prisma.join(comparedBy.map(scaledSquare), ' + ')}) / ${comparedBy.length}) as "distance"
        from near where ${Prisma.join(comparedBy.map(isKnown), ' and ')}
        order by "distance", "unitId" limit ${ask.limit})
      select ${archiveColumns}, r."distance", ${Prisma.raw(allParts(comparedBy))}
      from ranked r join ${archiveTables} on a."unitId" = r."unitId"
      order by r."distance", a."unitId"`,
    prisma.$queryRaw<{ withheld: number }[]>`
      with t as (select * from "ArchivedUnit" where "unitId" = ${unitId}::uuid)
      select count(*)::int as "withheld" from ${archiveTables}, t where ${candidates} and not ${visible}`,
  ]);
  return { comparedBy, rows, withheld: counts[0]?.withheld ?? 0 };
}

/** RMS difference over the bands both have; null under the least number shared. */
function differenceOf(part: ComparedPart): Prisma.Sql {
  const column = columnOf[part];
  return Prisma.raw(`(
    select case when count(x - y) >= ${LEAST_SHARED[part]} then sqrt(avg((x - y) * (x - y))) end
    from unnest(a."${column}", t."${column}") as bands (x, y)
  ) as "${column}"`);
}

const scaledSquare = (part: ComparedPart): Prisma.Sql =>
  Prisma.raw(`("${columnOf[part]}" / ${SCALES[part]}) ^ 2`);

const isKnown = (part: ComparedPart): Prisma.Sql => Prisma.raw(`"${columnOf[part]}" is not null`);

const allParts = (comparedBy: readonly ComparedPart[]): string =>
  (Object.keys(columnOf) as ComparedPart[])
    .map((part) =>
      comparedBy.includes(part) ? `r."${columnOf[part]}"` : `null::float8 as "${columnOf[part]}"`,
    )
    .join(', ');
