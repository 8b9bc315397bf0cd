/**
 * True deletion of an account: what was personal is gone, and its name and e-mail address stand nowhere in the house
 * any more. What was published stays as it was published, and what others made stays theirs.
 */
import { FORMER_MEMBER } from '../contracts/index.js';
import { json, type Change } from './change.js';
import type { Tx } from './database.js';
import { eraseFromHistory } from './historyErasing.js';
import { hashOfText, sealedTextOf } from './listeningSeal.js';
import { LEAVING } from './neededFiles.js';
import { replaceInTexts } from './personInTexts.js';
import { NotFound } from './versioned.js';

export class LastOwner extends Error {
  readonly code = 'last-owner';
}

/** @throws NotFound; LastOwner */
export async function removeAccount(made: Change, accountId: string, now: Date): Promise<void> {
  const { tx } = made;
  await tx.$executeRaw`select 1 from "Account" where "id" = ${accountId}::uuid for update`;
  const account = await tx.account.findUnique({ where: { id: accountId } });
  if (!account || account.removedAt !== null) throw new NotFound('That person is not there (any more).');
  const owners = await tx.account.count({ where: { role: 'owner', removedAt: null, disabledAt: null } });
  if (account.role === 'owner' && owners < 2)
    throw new LastOwner('The house needs an owner: the last one cannot be deleted.');
  await deletePrivateData(tx, accountId, now);
  await tx.account.update({
    where: { id: accountId },
    data: {
      name: FORMER_MEMBER,
      email: `former-${accountId}@removed.invalid`,
      passwordHash: '',
      timeZone: 'UTC',
      disabledAt: now,
      removedAt: now,
      version: { increment: 1 },
    },
  });
  await sealAnew(tx, accountId);
  const namesakes = await tx.account.count({ where: { name: account.name, removedAt: null } });
  // Two of one name: which of them a sentence means, nobody can say.
  const name = namesakes === 0 ? account.name : null;
  await replaceInTexts(tx, { name, email: account.email }, FORMER_MEMBER);
  await eraseFromHistory(
    made,
    accountId,
    'The account was deleted.',
    await entriesNaming(tx, name, account.email),
  );
  made.publish('team', 'people-changed', {
    accountId,
    by: made.actor.name,
    sentence: 'An account was deleted',
  });
}

/** What is of use to nobody else. */
async function deletePrivateData(tx: Tx, accountId: string, now: Date): Promise<void> {
  const own = { where: { accountId } };
  await tx.session.deleteMany(own);
  await tx.apiToken.deleteMany(own);
  await tx.calendarFeed.deleteMany(own);
  await tx.notificationChoice.deleteMany(own);
  await tx.delivery.deleteMany(own);
  await tx.personHours.deleteMany(own);
  await tx.absence.deleteMany(own);
  await tx.busyCalendar.deleteMany(own);
  await tx.uploadedToday.deleteMany(own);
  await tx.dataOpening.deleteMany(own);
  await tx.listeningSession.deleteMany({ where: { listenerId: accountId, sealedAt: null } });
  await tx.invitation.updateMany({ where: { acceptedBy: accountId }, data: { note: '' } });
  await tx.invitation.updateMany({
    where: { invitedBy: accountId, acceptedAt: null, revokedAt: null },
    data: { revokedAt: now },
  });
  await tx.feedEvent.deleteMany({ where: { room: `person:${accountId}` } });
  await tx.$executeRaw`delete from "BinEntry" where "kind" in ('absence', 'busy-calendar', 'listening')
    and strpos("contents"::text, ${accountId}) > 0`;
  const exports = await tx.accountExport.findMany(own);
  const files = exports.flatMap(({ fileKey }) => (fileKey === null ? [] : [hashOfKey(fileKey)]));
  if (files.length > 0) {
    const leaving = { kind: LEAVING, subjectId: '', title: '', deletedByName: '', expiresAt: now };
    await tx.binEntry.create({ data: { ...leaving, contents: json(files) } });
  }
  await tx.accountExport.deleteMany(own);
}

/** How an export's file is named by its row; see the schema for why. */
export const keyOfHash = (sha256: string): string => Buffer.from(sha256, 'hex').toString('base64url');
export const hashOfKey = (key: string): string => Buffer.from(key, 'base64url').toString('hex');

/** A sealed text names its listener. One that readers may have stays as it is; the others are sealed anew. */
async function sealAnew(tx: Tx, listenerId: string): Promise<void> {
  const sessions = await tx.listeningSession.findMany({
    where: { listenerId, sealedAt: { not: null }, unit: { loan: { publishedAt: null } } },
    include: { unit: { select: { name: true } } },
  });
  for (const { unit, ...session } of sessions) {
    if (session.sealedAt === null) continue;
    const facts = {
      listenerName: FORMER_MEMBER,
      unitName: unit.name,
      blind: session.blind,
      sealedAt: session.sealedAt,
    };
    const sealedText = sealedTextOf(session, facts);
    await tx.listeningSession.update({
      where: { id: session.id },
      data: { sealedText, sealHash: hashOfText(sealedText) },
    });
  }
}

/** Entries of others' doings that name the person. */
async function entriesNaming(tx: Tx, name: string | null, email: string): Promise<bigint[]> {
  const words = [...(name === null ? [] : [name]), email];
  const rows = await tx.$queryRaw<{ number: bigint }[]>`
    select "number" from "HistoryEntry", unnest(${words}::text[]) w where "number" is not null
      and strpos(lower(concat_ws(' ', "sentence", "reason", "before"::text, "after"::text)), lower(w)) > 0`;
  return [...new Set(rows.map(({ number }) => number))];
}
