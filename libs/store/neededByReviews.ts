/** What a published review rests on is not deleted: not by hand, not when the days in the bin are over. */
import type { TableRows } from './binRows.js';
import type { Tx } from './database.js';

export class NeededByReview extends Error {
  readonly code = 'needed-by-review';
  readonly title: string;
  constructor(title: string) {
    super(
      `The published review “${title}” rests on this, so it stays. Set it aside or correct the review instead.`,
    );
    this.title = title;
  }
}

const valuesOf = (collected: readonly TableRows[], table: string, column: string): string[] =>
  collected
    .filter((one) => one.table === table)
    .flatMap(({ rows }) => rows.map((row) => row[column]))
    .filter((value): value is string => typeof value === 'string');

/** @throws NeededByReview naming the review */
export async function insistNotNeeded(tx: Tx, collected: readonly TableRows[]): Promise<void> {
  const title =
    (await reviewOfWhole(tx, collected)) ??
    (await reviewOfResults(tx, collected)) ??
    (await reviewOfListening(tx, collected));
  if (title !== undefined) throw new NeededByReview(title);
}

/** Loans that are out, and units that stand in a review. One that is being built counts: it may be out in a moment. */
async function reviewOfWhole(tx: Tx, collected: readonly TableRows[]): Promise<string | undefined> {
  const loans = valuesOf(collected, 'Loan', 'id');
  const units = valuesOf(collected, 'Unit', 'id');
  if (loans.length + units.length === 0) return undefined;
  const [found] = await tx.$queryRaw<{ title: string }[]>`
    select l."title" from "Loan" l where l."publishedAt" is not null
      and (l."id" = any(${loans}::uuid[])
        or exists (select 1 from "Unit" u where u."loanId" = l."id" and u."id" = any(${units}::uuid[])))
    union all
    select p."title" from "Publication" p where p."purpose" = 'release'
      and p."state" in ('building', 'published', 'superseded')
      and (p."loanId" = any(${loans}::uuid[])
        or exists (select 1 from "Unit" u where u."loanId" = p."loanId" and u."id" = any(${units}::uuid[]))
        or exists (select 1 from "PublishedUnit" u where u."publicationId" = p."id" and u."unitId" = any(${units}::uuid[])))
    limit 1`;
  return found?.title;
}

/**
 * Sets, files and analyses whose computation stands among a review's sources. A review that was published elsewhere
 * names none: then every set that counts is one.
 */
async function reviewOfResults(tx: Tx, collected: readonly TableRows[]): Promise<string | undefined> {
  const analyses = valuesOf(collected, 'Analysis', 'computationId');
  const files = valuesOf(collected, 'SetFile', 'sha256');
  const sets = [...valuesOf(collected, 'MeasurementSet', 'id'), ...valuesOf(collected, 'SetFile', 'setId')];
  if (sets.length === 0) return undefined;
  const [found] = await tx.$queryRaw<{ title: string }[]>`
    with sources as (
      select s."id" as "setId", u."loanId", s."setAsideWhy", c."id" as "computationId"
      from "MeasurementSet" s join "Unit" u on u."id" = s."unitId" join "Analysis" a on a."setId" = s."id"
      join "Computation" c on c."id" = a."computationId"
      where s."id" = any(${sets}::uuid[]) and c."state" = 'done' and (c."id" = any(${analyses}::text[])
        or exists (select 1 from jsonb_array_elements(c."inputs") i where i->>'sha256' = any(${files}::text[]))))
    select p."title" from "Publication" p join sources s on s."loanId" = p."loanId"
    where p."purpose" = 'release' and (p."state" = 'building' or (p."state" in ('published', 'superseded')
      and strpos(p."content"::text, s."computationId") > 0))
    union all
    select l."title" from "Loan" l join sources s on s."loanId" = l."id"
    where l."publishedAt" is not null and s."setAsideWhy" is null
      and not exists (select 1 from "Publication" p where p."loanId" = l."id" and p."number" is not null)
    limit 1`;
  return found?.title;
}

/** What was sealed before a review came out is what its readers may check. */
async function reviewOfListening(tx: Tx, collected: readonly TableRows[]): Promise<string | undefined> {
  const sealed = collected
    .filter(({ table }) => table === 'ListeningSession')
    .flatMap(({ rows }) =>
      rows.filter((row) => row['sealedAt'] !== null).map((row) => String(row['unitId'])),
    );
  if (sealed.length === 0) return undefined;
  const [found] = await tx.$queryRaw<{ title: string }[]>`
    select l."title" from "Unit" u join "Loan" l on l."id" = u."loanId"
    where u."id" = any(${sealed}::uuid[]) and (l."publishedAt" is not null or exists (
      select 1 from "Publication" p where p."loanId" = l."id" and p."purpose" = 'release'
        and p."state" in ('building', 'published', 'superseded')))
    limit 1`;
  return found?.title;
}

/** The same for what lies in the bin already: a review that was being built at the moment of its deletion. */
export async function isNeededFromBin(
  tx: Tx,
  contents: readonly TableRows[],
  loanId: string | null,
): Promise<boolean> {
  const computations = valuesOf(contents, 'Analysis', 'computationId');
  if (loanId === null || computations.length === 0) return false;
  const found = await tx.$queryRaw<unknown[]>`
    select 1 from "Publication" p, unnest(${computations}::text[]) c where p."loanId" = ${loanId}::uuid
      and p."purpose" = 'release' and p."state" in ('published', 'superseded') and strpos(p."content"::text, c) > 0
    limit 1`;
  return found.length > 0;
}
