/** The archive's rows: one per unit that has a result, written in the transaction that brings or changes the result. */
import { archiveNumberNames, type ArchiveNumber } from '../contracts/index.js';
import type { Change } from './change.js';
import { Prisma } from './generated/client.js';
import type { ComputationSummary } from './unitProgress.js';

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
  const sets = await change.tx.measurementSet.findMany({
    where: { analyses: { some: { computationId } } },
    select: { unitId: true },
  });
  await archiveUnits(change, [...new Set(sets.map(({ unitId }) => unitId))]);
}

/**
 * Brings units' rows up to date with the newest finished analysis of each of their sets that count. A unit without
 * any has no row.
 */
export async function archiveUnits(change: Change, unitIds: readonly string[]): Promise<void> {
  // Two results of one unit at once: the second waits here, and then sees the first.
  for (const unitId of [...unitIds].sort()) {
    await change.tx.$executeRaw`select 1 from "Unit" where "id" = ${unitId}::uuid for no key update`;
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
async function resultsOf(change: Change, unitId: string): Promise<Result[]> {
  const analyses = await change.tx.analysis.findMany({
    where: { set: { unitId, setAsideWhy: null }, computation: { state: 'done' } },
    distinct: ['setId'],
    orderBy: [{ createdAt: 'desc' }, { id: 'desc' }],
    select: {
      id: true,
      set: { select: { createdAt: true } },
      computation: { select: { algorithmVersion: true, summary: true, profile: true } },
    },
  });
  return analyses.map(({ id, set, computation }) => ({
    analysisId: id,
    measuredAt: set.createdAt,
    algorithmVersion: computation.algorithmVersion,
    numbers: (computation.summary as unknown as ComputationSummary | null)?.numbers ?? {},
    profile: computation.profile as unknown as StoredProfile | null,
  }));
}

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
