/** What laying units over each other needs of their stored results: one curve each, not the whole. */
import type { Database } from './database.js';
import { Prisma } from './generated/client.js';

export interface ComparedResult {
  readonly unitId: string;
  readonly unitName: string;
  readonly makerName: string;
  readonly loanTitle: string;
  readonly serial: string;
  readonly invented: boolean;
  readonly computationId: string;
  readonly algorithmVersion: string;
  readonly frequencyHz: readonly number[] | null;
  readonly curve: readonly number[] | null;
  readonly sensitivity: { readonly db: number; readonly bandHz: readonly [number, number] } | null;
}

/** In the order asked for; a unit without a response in the archive is left out. */
export async function comparedResults(
  database: Database,
  unitIds: readonly string[],
  curve: string,
): Promise<ComparedResult[]> {
  const rows = await database.prisma.$queryRaw<ComparedResult[]>`
    select a."unitId", u."name" as "unitName", m."name" as "makerName", l."title" as "loanTitle", u."serial",
           c."invented", c."id" as "computationId", c."algorithmVersion",
           c."result" -> 'frequencyHz' as "frequencyHz", c."result" -> 'curves' -> ${curve}::text as "curve",
           c."result" -> 'sensitivity' as "sensitivity"
    from "ArchivedUnit" a
    join "Unit" u on u."id" = a."unitId"
    join "Loan" l on l."id" = u."loanId"
    join "Maker" m on m."id" = l."makerId"
    join "Analysis" n on n."id" = a."responseAnalysisId"
    join "Computation" c on c."id" = n."computationId"
    where a."unitId"::text in (${Prisma.join([...unitIds])})`;
  return unitIds.flatMap((id) => rows.find(({ unitId }) => unitId === id) ?? []);
}

/** Who has seen a unit's numbers, and when first, decides whether a later listening session is blind. */
export async function noteOpenings(
  database: Database,
  unitIds: readonly string[],
  accountId: string,
): Promise<void> {
  if (unitIds.length === 0) return;
  await database.prisma.dataOpening.createMany({
    data: unitIds.map((unitId) => ({ unitId, accountId })),
    skipDuplicates: true,
  });
}
