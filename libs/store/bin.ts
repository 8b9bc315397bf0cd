/** Deleting so that it can be taken back: the rows go to the bin in the change that deletes them, and return from it. */
import { BIN_DAYS, binKindWords, type BinKind, type Binned } from '../contracts/index.js';
import { archiveUnits } from './archive.js';
import { collectRows, deleteRow, insertRows, type RootRow, type TableRows } from './binRows.js';
import { freeOfDoubleBookings } from './binBookings.js';
import { json, type Change } from './change.js';
import { Prisma, type BinEntry } from './generated/client.js';
import { insistNotNeeded } from './neededByReviews.js';
import { LEAVING } from './neededFiles.js';
import { NotFound, StaleVersion } from './versioned.js';

const Day = 24 * 3600_000;

export interface ToBin {
  readonly kind: BinKind;
  readonly root: RootRow;
  /** As people call it. */
  readonly title: string;
  readonly within?: string;
  readonly loanId?: string | null;
  /** Whose results it may tell of: not shown to those who listen to it blind. */
  readonly unitId?: string | null;
  /** The caller says it in the history in words of its own. */
  readonly told?: boolean;
  /** The version that was seen, where the thing has one. */
  readonly version?: number | undefined;
}

/** Why something cannot be deleted now, with what to do. */
export class NotDeletable extends Error {
  readonly code = 'not-deletable';
}
export class NotRestorable extends Error {
  readonly code = 'not-restorable';
}

/**
 * Deletes a row with all that hangs on it.
 *
 * @throws NotFound; StaleVersion when it was changed since; NeededByReview; NotDeletable while work on it is under way
 */
export async function putInBin(made: Change, what: ToBin, now = new Date()): Promise<Binned> {
  const { tx, actor } = made;
  const contents = await collectRows(tx, what.root);
  const [root] = contents.find(({ table }) => table === what.root.table)?.rows ?? [];
  if (!root) throw new NotFound('That is not there (any more).');
  if (what.version !== undefined && root['version'] !== what.version) throw new StaleVersion(root);
  await insistNotNeeded(tx, contents);
  await insistNothingUnderWay(made, contents);
  await deleteRow(tx, what.root).catch((error: unknown) => {
    if (isViolation(error, '23503', '23001'))
      throw new NotDeletable(
        `Something else still belongs to ${binKindWords[what.kind]} ${what.title}: delete that first.`,
      );
    throw error;
  });
  const entry = await tx.binEntry.create({
    data: {
      kind: what.kind,
      subjectId: what.root.value,
      loanId: what.loanId ?? null,
      unitId: what.unitId ?? null,
      title: what.title,
      within: what.within ?? '',
      deletedBy: actor.id,
      deletedByName: actor.name,
      deletedAt: now,
      expiresAt: new Date(now.getTime() + BIN_DAYS * Day),
      contents: json(contents),
    },
  });
  tellBin(made, entry, `deleted ${nameOf(entry)}`, what.told ? null : 'deleted');
  return { binId: entry.id, kind: what.kind, title: what.title, expiresAt: entry.expiresAt.toISOString() };
}

/** Results on their way, and people who must not see them: both end badly when what they are about goes and returns. */
async function insistNothingUnderWay({ tx }: Change, contents: readonly TableRows[]): Promise<void> {
  const rows = (table: string) => contents.find((one) => one.table === table)?.rows ?? [];
  const blind = rows('ListeningSession').find(
    (row) => row['sealedAt'] === null && row['begunBlind'] === true && row['givenUpAt'] === null,
  );
  if (blind) {
    const listener = await tx.account.findUnique({ where: { id: String(blind['listenerId']) } });
    throw new NotDeletable(
      `${listener?.name ?? 'Somebody'} is listening blind: their session is sealed first, or given up.`,
    );
  }
  const pending = rows('CampaignItem').filter(
    (row) => row['state'] === 'waiting' || row['state'] === 'asked',
  );
  const running = await tx.campaign.count({
    where: { id: { in: pending.map((row) => String(row['campaignId'])) }, state: 'running' },
  });
  if (running > 0)
    throw new NotDeletable('The archive is being recomputed: wait until that is through, or stop it first.');
}

/** What came back, and a sentence on what could not come back as it was. */
export interface Restored {
  readonly kind: BinKind;
  readonly title: string;
  readonly note: string;
}

/**
 * Puts the rows back as they were, under their old ids.
 *
 * @throws NotFound when it was put back or is gone for good; NotRestorable when something took its place meanwhile
 */
export async function restoreFromBin(made: Change, id: string, now = new Date()): Promise<Restored> {
  const { tx, actor } = made;
  await tx.$executeRaw`select 1 from "BinEntry" where "id" = ${id}::uuid for update`;
  const entry = await tx.binEntry.findUnique({ where: { id } });
  if (!entry || entry.kind === LEAVING) throw new NotFound('That is no longer in the bin.');
  if (entry.restoredAt !== null)
    throw new NotFound(`${entry.restoredByName ?? 'Somebody'} has put that back already.`);
  const kept = entry.contents as unknown as TableRows[];
  const { contents, dropped } = await freeOfDoubleBookings(made, await ofEndedCampaigns(made, kept), now);
  for (const rows of contents) await insertRows(tx, rows).catch((error: unknown) => explain(error, entry));
  await tx.binEntry.update({
    where: { id },
    data: { restoredAt: now, restoredByName: actor.name, contents: [] },
  });
  if (entry.kind === 'set' && entry.unitId !== null) await archiveUnits(made, [entry.unitId]);
  tellBin(made, entry, `put back ${nameOf(entry)}`, 'restored');
  return { kind: entry.kind as BinKind, title: entry.title, note: noteOn(dropped) };
}

const noteOn = (dropped: number): string =>
  dropped === 0
    ? ''
    : `${dropped === 1 ? 'One booking' : `${dropped} bookings`} of it met others made since and ${dropped === 1 ? 'is' : 'are'} no longer in the plan.`;

/** A campaign that has ended since will not come to them. */
async function ofEndedCampaigns({ tx }: Change, contents: readonly TableRows[]): Promise<TableRows[]> {
  const running = await tx.campaign.findMany({ where: { state: 'running' }, select: { id: true } });
  const goesOn = new Set(running.map(({ id }) => id));
  return contents.map(({ table, rows }) => ({
    table,
    rows: rows.map((row) =>
      table === 'CampaignItem' &&
      ['waiting', 'asked'].includes(String(row['state'])) &&
      !goesOn.has(String(row['campaignId']))
        ? { ...row, state: 'cancelled' }
        : row,
    ),
  }));
}

function explain(error: unknown, entry: BinEntry): never {
  const name = nameOf(entry);
  if (isViolation(error, '23505'))
    throw new NotRestorable(`Something stands in the place of ${name} by now: remove or rename that first.`);
  if (isViolation(error, '23503'))
    throw new NotRestorable(
      `What ${name} belongs to is not there: if it is in the bin, put that back first.`,
    );
  throw error;
}

export function isViolation(error: unknown, ...codes: readonly string[]): boolean {
  if (!(error instanceof Prisma.PrismaClientKnownRequestError)) return false;
  const said = JSON.stringify([error.code, error.message, error.meta ?? null]);
  return codes.some((code) => said.includes(code));
}

export const nameOf = ({ kind, title, within }: Pick<BinEntry, 'kind' | 'title' | 'within'>): string =>
  `${binKindWords[kind as BinKind]} ${title}${within === '' ? '' : ` of ${within}`}`;

export function tellBin(
  made: Change,
  { kind, subjectId, loanId, unitId }: Pick<BinEntry, 'kind' | 'subjectId' | 'loanId' | 'unitId'>,
  sentence: string,
  action: 'deleted' | 'restored' | 'purged' | null,
): void {
  if (action !== null)
    made.record({ action: `${kind}-${action}`, subject: kind, subjectId, loanId, sentence });
  made.publish('team', 'bin-changed', {
    by: made.actor.name,
    sentence,
    ...(loanId === null ? {} : { loanId }),
    ...(unitId === null ? {} : { unitId }),
  });
}
