/**
 * The end of the days in the bin: rows are gone at once, files as soon as nothing else names them. A file is not
 * removed within an hour of its coming, however often it came: what is being kept this moment has no row yet.
 */
import { change, json, theHouse, type Change } from './change.js';
import { nameOf, tellBin } from './bin.js';
import type { TableRows } from './binRows.js';
import type { Database } from './database.js';
import type { BinEntry } from './generated/client.js';
import { isNeededFromBin, NeededByReview } from './neededByReviews.js';
import { LEAVING, neededFiles } from './neededFiles.js';
import { NotFound } from './versioned.js';

const HASH = /(?<![0-9a-f])[0-9a-f]{64}(?![0-9a-f])/g;
const Hour = 3600_000;
const KEEP_NEEDED_MS = 30 * 24 * Hour;

/** @throws NotFound; NeededByReview when a published review rests on it */
export async function purgeEntry(made: Change, id: string): Promise<void> {
  const { tx } = made;
  await tx.$executeRaw`select 1 from "BinEntry" where "id" = ${id}::uuid for update`;
  const entry = await tx.binEntry.findUnique({ where: { id } });
  if (!entry || entry.restoredAt !== null || entry.kind === LEAVING)
    throw new NotFound('That is no longer in the bin.');
  const contents = entry.contents as unknown as TableRows[];
  if (await isNeededFromBin(tx, contents, entry.loanId))
    throw new NeededByReview(entry.within || entry.title);
  const hashes = new Set([...hashesIn(contents), ...(await purgeComputations(made, entry, contents))]);
  const units = idsOf(contents, 'Unit');
  await tx.dataOpening.deleteMany({ where: { unitId: { in: units } } });
  const loans = idsOf(contents, 'Loan');
  await tx.delivery.deleteMany({ where: { loanId: { in: loans } } });
  await tx.$executeRaw`delete from "Proposal" p where exists (
    select 1 from unnest(${loans}::text[]) l where strpos(p."content"::text, l) > 0)`;
  await tx.binEntry.update({
    where: { id },
    data: { kind: LEAVING, title: '', within: '', deletedByName: '', contents: json([...hashes]) },
  });
  tellBin(made, entry, `${nameOf(entry)} is gone for good`, 'purged');
}

const idsOf = (contents: readonly TableRows[], table: string): string[] =>
  contents.filter((one) => one.table === table).flatMap(({ rows }) => rows.map((row) => String(row['id'])));

const hashesIn = (value: unknown): string[] => JSON.stringify(value).match(HASH) ?? [];

/** Results that no set asks for any more. @returns the files they named */
async function purgeComputations(
  { tx }: Change,
  entry: BinEntry,
  contents: readonly TableRows[],
): Promise<string[]> {
  const asked = contents
    .filter(({ table }) => table === 'Analysis')
    .flatMap(({ rows }) => rows.map((row) => String(row['computationId'])));
  if (asked.length === 0) return [];
  const gone = await tx.$queryRaw<object[]>`
    delete from "Computation" c where c."id" = any(${[...new Set(asked)]}::text[])
      and not exists (select 1 from "Analysis" a where a."computationId" = c."id")
      and not exists (select 1 from "BinEntry" b where b."id" <> ${entry.id}::uuid and strpos(b."contents"::text, c."id") > 0)
      and not exists (select 1 from "Publication" p where strpos(p."content"::text, c."id") > 0)
    returning c."series", c."figures", c."inputs"`;
  return hashesIn(gone);
}

/** Everything whose days are over. @returns how many entries were purged */
export async function purgeBin(database: Database, now: Date): Promise<number> {
  const { prisma } = database;
  await prisma.binEntry.deleteMany({ where: { restoredAt: { not: null }, expiresAt: { lte: now } } });
  const due = await prisma.binEntry.findMany({
    where: { expiresAt: { lte: now }, restoredAt: null, kind: { not: LEAVING } },
    select: { id: true },
    orderBy: { expiresAt: 'asc' },
  });
  let purged = 0;
  for (const { id } of due) {
    try {
      await change(database, theHouse, (made) => purgeEntry(made, id));
      purged += 1;
    } catch (error) {
      // Put back, or purged by another worker, in the meantime.
      if (error instanceof NotFound) continue;
      if (!(error instanceof NeededByReview)) throw error;
      const expiresAt = new Date(now.getTime() + KEEP_NEEDED_MS);
      await prisma.binEntry.updateMany({ where: { id, restoredAt: null }, data: { expiresAt } });
    }
  }
  return purged;
}

/**
 * Removes the files of purged entries that nothing names any more. A file that came again lately waits for the next time.
 *
 * @param remove takes a file away unless it came after `before`; false when it did
 */
export async function clearLeavingFiles(
  database: Database,
  remove: (sha256: string, before: Date) => Promise<boolean>,
  now: Date,
): Promise<void> {
  const { prisma } = database;
  for (const entry of await prisma.binEntry.findMany({ where: { kind: LEAVING } })) {
    const hashes = entry.contents as string[];
    const needed = await neededFiles(prisma, hashes);
    const waiting: string[] = [];
    for (const sha256 of hashes) {
      if (needed.has(sha256)) continue;
      if (await remove(sha256, new Date(now.getTime() - Hour)))
        await prisma.blob.deleteMany({ where: { sha256 } });
      else waiting.push(sha256);
    }
    if (waiting.length === 0) await prisma.binEntry.deleteMany({ where: { id: entry.id } });
    else await prisma.binEntry.update({ where: { id: entry.id }, data: { contents: waiting } });
  }
}
