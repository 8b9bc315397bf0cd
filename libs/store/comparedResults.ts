/** What laying units over each other needs of their stored results: one curve each, not the whole. */
import type { Database } from './database.js';
import { Prisma } from './generated/client.js';
import { storedResult } from './storedResults.js';

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
  const rows = await database.prisma.$queryRaw<(ComparedResult & { packedResult: Uint8Array | null })[]>`
    select a."unitId", u."name" as "unitName", m."name" as "makerName", l."title" as "loanTitle", u."serial",
           c."invented", c."id" as "computationId", c."algorithmVersion",
           r."frequencyHz", r."curves" -> ${curve}::text as "curve", r."sensitivity", c."packedResult"
    from "ArchivedUnit" a
    join "Unit" u on u."id" = a."unitId"
    join "Loan" l on l."id" = u."loanId"
    join "Maker" m on m."id" = l."makerId"
    join "Analysis" n on n."id" = a."responseAnalysisId"
    join "Computation" c on c."id" = n."computationId"
    -- Taken apart once: each look into it would unpack all of it again.
    left join lateral jsonb_to_record(c."result") as r ("frequencyHz" jsonb, "curves" jsonb, "sensitivity" jsonb) on true
    where a."unitId"::text in (${Prisma.join([...unitIds])})`;
  const found = await Promise.all(rows.map((row) => unpacked(row, curve)));
  return unitIds.flatMap((id) => found.find(({ unitId }) => unitId === id) ?? []);
}

/** A set that counts again, of an algorithm of before, is still packed. */
async function unpacked(
  { packedResult, ...row }: ComparedResult & { packedResult: Uint8Array | null },
  curve: string,
): Promise<ComparedResult> {
  if (packedResult === null) return row;
  const result = (await storedResult({ result: null, packedResult })) as {
    frequencyHz?: number[];
    curves?: Record<string, number[]>;
    sensitivity?: ComparedResult['sensitivity'];
  };
  return {
    ...row,
    frequencyHz: result.frequencyHz ?? null,
    curve: result.curves?.[curve] ?? null,
    sensitivity: result.sensitivity ?? null,
  };
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
