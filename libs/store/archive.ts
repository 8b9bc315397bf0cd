/** The archive's rows: one per unit that has a result, written in the transaction that brings or changes the result. */
import { archiveNumberNames, type ArchiveNumber } from '../contracts/index.js';
import type { Change } from './change.js';
import { Prisma } from './generated/client.js';

/** What units are compared by, as the worker computed it: equal bands for all units, null where not measured. */
export interface StoredProfile {
  readonly responseDb: readonly (number | null)[];
  readonly directivityDb: readonly (number | null)[];
  readonly bassOctaves: readonly (number | null)[];
}

interface Result {
  readonly analysisId: string;
  readonly measuredAt: Date;
  readonly algorithmVersion: string;
  readonly numbers: Readonly<Record<string, unknown>>;
  readonly profile: StoredProfile | null;
}

const impedanceNumbers: readonly ArchiveNumber[] = ['minimumOhm', 'ratedOhm', 'epdrMinimumOhm'];

/** Brings the rows of all units up to date that have a set answered by this computation. */
export async function archiveComputation(change: Change, computationId: string): Promise<void> {
  await archiveLocked(
    change,
    Prisma.sql`select s."unitId" from "Analysis" a join "MeasurementSet" s on s."id" = a."setId"
      where a."computationId" = ${computationId}`,
  );
}

/**
 * Brings units' rows up to date with the newest finished analysis of each of their sets that count. A unit without
 * any has no row.
 */
export async function archiveUnits(change: Change, unitIds: readonly string[]): Promise<void> {
  await archiveLocked(change, Prisma.sql`select unnest(${[...unitIds]}::uuid[])`);
}

async function archiveLocked(change: Change, unitIds: Prisma.Sql): Promise<void> {
  // Two results of one unit at once: the second waits here, and then sees the first. Always in one order.
  const units = await change.tx.$queryRaw<{ id: string }[]>`
    select "id" from "Unit" where "id" in (${unitIds}) order by "id" for no key update`;
  for (const { id: unitId } of units) {
    const results = await resultsOf(change, unitId);
    const response = newestWith(results, 'listeningWindowWithinDb') ?? newestWith(results, 'sensitivityDb');
    const impedance = newestWith(results, 'minimumOhm');
    if (!response && !impedance) {
      await change.tx.archivedUnit.deleteMany({ where: { unitId } });
      continue;
    }
    const firstAt = new Date(Math.min(...results.map(({ measuredAt }) => measuredAt.getTime())));
    await writeRow(change, unitId, firstAt, { response, impedance });
  }
}

/** Newest first. */
const resultsOf = (change: Change, unitId: string): Promise<Result[]> => change.tx.$queryRaw<Result[]>`
  select "analysisId", "measuredAt", "algorithmVersion", "numbers", "profile" from (
    select distinct on (a."setId") a."id" as "analysisId", a."createdAt" as "at", s."createdAt" as "measuredAt",
      c."algorithmVersion", coalesce(c."summary"->'numbers', '{}') as "numbers", c."profile"
    from "MeasurementSet" s join "Analysis" a on a."setId" = s."id" join "Computation" c on c."id" = a."computationId"
    where s."unitId" = ${unitId}::uuid and s."setAsideWhy" is null and c."state" = 'done'
    order by a."setId", a."createdAt" desc, a."id" desc) newest
  order by "at" desc, "analysisId" desc`;

const newestWith = (results: readonly Result[], name: ArchiveNumber): Result | undefined =>
  results.find(({ numbers }) => typeof numbers[name] === 'number');

interface Sources {
  readonly response: Result | undefined;
  readonly impedance: Result | undefined;
}

async function writeRow(
  change: Change,
  unitId: string,
  firstAt: Date,
  { response, impedance }: Sources,
): Promise<void> {
  const valueOf = (name: ArchiveNumber): number | null => {
    const value = (impedanceNumbers.includes(name) ? impedance : response)?.numbers[name];
    return typeof value === 'number' && Number.isFinite(value) ? value : null;
  };
  const columns: [name: string, value: Prisma.Sql][] = [
    ['responseAnalysisId', Prisma.sql`${response?.analysisId ?? null}::uuid`],
    ['impedanceAnalysisId', Prisma.sql`${impedance?.analysisId ?? null}::uuid`],
    ['algorithmVersion', Prisma.sql`${(response ?? impedance)?.algorithmVersion ?? ''}`],
    ...archiveNumberNames.map((name): [string, Prisma.Sql] => [name, Prisma.sql`${valueOf(name)}::float8`]),
    ...(['responseDb', 'directivityDb', 'bassOctaves'] as const).map((name): [string, Prisma.Sql] => [
      name,
      floats(response?.profile?.[name] ?? []),
    ]),
    ['firstAt', Prisma.sql`${firstAt}::timestamptz`],
    ['updatedAt', Prisma.sql`now()`],
  ];
  const names = columns.map(([name]) => quoted(name));
  await change.tx.$executeRaw`
    insert into "ArchivedUnit" ("unitId", ${Prisma.join(names)})
    values (${unitId}::uuid, ${Prisma.join(columns.map(([, value]) => value))})
    on conflict ("unitId") do update
    set ${Prisma.join(names.map((name) => Prisma.sql`${name} = excluded.${name}`))}`;
}

/** Only for names written in this folder. */
const quoted = (name: string): Prisma.Sql => Prisma.raw(`"${name}"`);

/** An array that may hold gaps. */
const floats = (values: readonly (number | null)[]): Prisma.Sql => Prisma.sql`
  (select coalesce(array_agg("value"::float8 order by "at"), '{}')
   from jsonb_array_elements_text(${JSON.stringify(values)}::jsonb) with ordinality as "t" ("value", "at"))`;
