/**
 * The shared text of a review in the database: updates are added one after the other under a lock on its row, numbered
 * in the order of their commits, and folded into one state from time to time. What the text reads is kept beside.
 */
import * as Y from 'yjs';
import { DRAFT_MOST_CHARACTERS } from '../contracts/index.js';
import { applyTo, documentOf, rewrite, textOf } from '../drafts/index.js';
import type { Change } from './change.js';
import type { Database, Tx } from './database.js';
import { NotFound } from './versioned.js';

export const DRAFT_CHANNEL = 'sojourn_draft';
/** Updates after which they are folded into one; as many stay for servers that are a little behind. */
const FOLD_AFTER = 64;

export class DraftRefusal extends Error {
  readonly code: 'malformed' | 'incomplete' | 'too-long';
  constructor(code: DraftRefusal['code'], message: string) {
    super(message);
    this.code = code;
  }
}

/** The document as it stands, its row locked until the commit. */
export interface LockedDraft {
  readonly loanId: string;
  readonly document: Y.Doc;
  readonly number: number;
  readonly compactedTo: number;
}
export interface KeptDraft {
  readonly number: number;
  readonly draftVersion: number;
  /** The words changed, not only what is behind them. */
  readonly textChanged: boolean;
  /** Sign-offs that stood on the text as it was. */
  readonly voided: boolean;
}

/** Loan first, draft second, verdict last: everybody locks in this order. */
export async function lockDraft(tx: Tx, loanId: string): Promise<LockedDraft> {
  const loans = await tx.$queryRaw<unknown[]>`
    select 1 from "Loan" where "id" = ${loanId}::uuid for share`;
  if (loans.length === 0) throw new NotFound('That loan is not there (any more).');
  await beginDraft(tx, loanId);
  const [row] = await tx.$queryRaw<{ state: Uint8Array; compactedTo: number; number: number }[]>`
    select "state", "compactedTo", "number" from "DraftDocument" where "loanId" = ${loanId}::uuid for update`;
  if (!row) throw new NotFound('That text is not there (any more).');
  const rest = await tx.draftUpdate.findMany({
    where: { loanId, number: { gt: row.compactedTo } },
    orderBy: { number: 'asc' },
  });
  const document = documentOf([row.state, ...rest.map(({ update }) => update)]);
  return { loanId, document, number: row.number, compactedTo: row.compactedTo };
}

/** A verdict written before texts were shared becomes the beginning of the document. */
async function beginDraft(tx: Tx, loanId: string): Promise<void> {
  if ((await tx.draftDocument.count({ where: { loanId } })) > 0) return;
  const verdict = await tx.verdict.findUnique({ where: { loanId } });
  const document = new Y.Doc();
  rewrite(document, verdict?.text ?? '');
  const state = Y.encodeStateAsUpdate(document);
  // Whoever is second waits for the first here and then finds that one's.
  await tx.draftDocument.createMany({ data: [{ loanId, state: bytes(state) }], skipDuplicates: true });
}

/**
 * Adds what is new of an update that somebody sent. @returns undefined when all of it was there already
 * @throws DraftRefusal when it cannot be read, builds on what is not there, or the text would grow too long
 */
export async function addToDraft(
  made: Change,
  draft: LockedDraft,
  sent: Uint8Array,
): Promise<KeptDraft | undefined> {
  const before = textOf(draft.document);
  const outcome = applyTo(draft.document, sent);
  switch (outcome.applied) {
    case 'nothing-new':
      return undefined;
    case 'new':
      return keepUpdate(made, draft, outcome.update, before);
    case 'malformed':
      throw new DraftRefusal('malformed', 'What was sent is not an update of this text.');
    case 'incomplete':
      throw new DraftRefusal('incomplete', 'What was sent builds on words that are not here yet.');
  }
}

/** A change the server itself makes. @param change returns the update, undefined for none */
export async function changeDraft(
  made: Change,
  draft: LockedDraft,
  change: (document: Y.Doc) => Uint8Array | undefined,
): Promise<KeptDraft | undefined> {
  const before = textOf(draft.document);
  const update = change(draft.document);
  return update && keepUpdate(made, draft, update, before);
}

/** @returns the version of the text, 0 while there is none */
export async function draftVersionOf(tx: Tx, loanId: string): Promise<number> {
  const verdict = await tx.verdict.findUnique({ where: { loanId }, select: { draftVersion: true } });
  return verdict?.draftVersion ?? 0;
}

async function keepUpdate(
  made: Change,
  draft: LockedDraft,
  update: Uint8Array,
  before: string,
): Promise<KeptDraft> {
  const { loanId, document } = draft;
  const text = textOf(document);
  if (text.length > DRAFT_MOST_CHARACTERS)
    throw new DraftRefusal('too-long', `The text is full: ${DRAFT_MOST_CHARACTERS} characters at most.`);
  if (text.includes('\0')) throw new DraftRefusal('malformed', 'The text holds a character that is none.');
  const number = draft.number + 1;
  await made.tx.draftUpdate.create({
    data: { loanId, number, update: bytes(update), accountId: made.actor.id },
  });
  const fold = number - draft.compactedTo >= FOLD_AFTER;
  const folded = fold ? { compactedTo: number, state: bytes(Y.encodeStateAsUpdate(document)) } : {};
  await made.tx.draftDocument.update({ where: { loanId }, data: { number, ...folded } });
  if (fold) await made.tx.draftUpdate.deleteMany({ where: { loanId, number: { lte: number - FOLD_AFTER } } });
  await made.tx.$executeRaw`select pg_notify(${DRAFT_CHANNEL}, ${loanId})`;
  if (text === before)
    return {
      number,
      draftVersion: await draftVersionOf(made.tx, loanId),
      textChanged: false,
      voided: false,
    };
  const verdict = await keepText(made.tx, loanId, text);
  const standing = await made.tx.signOff.count({
    where: { loanId, verdictVersion: verdict.version, draftVersion: verdict.draftVersion - 1 },
  });
  return { number, draftVersion: verdict.draftVersion, textChanged: true, voided: standing > 0 };
}

async function keepText(
  tx: Tx,
  loanId: string,
  text: string,
): Promise<{ version: number; draftVersion: number }> {
  const [row] = await tx.$queryRaw<{ version: number; draftVersion: number }[]>`
    insert into "Verdict" ("loanId", "text", "draftVersion", "updatedAt")
    values (${loanId}::uuid, ${text}, 1, now())
    on conflict ("loanId") do update
      set "text" = excluded."text", "draftVersion" = "Verdict"."draftVersion" + 1, "updatedAt" = now()
    returning "version", "draftVersion"`;
  if (!row) throw new Error('The text was not kept.');
  return row;
}

export interface OpenDraft {
  readonly update: Uint8Array;
  readonly number: number;
  readonly draftVersion: number;
}

/** All there is, in one look; undefined while nobody has opened it. */
export async function readDraft(database: Database, loanId: string): Promise<OpenDraft | undefined> {
  const answer = await database.pool.query<{
    state: Buffer;
    number: number;
    draftVersion: number | null;
    updates: Buffer[];
  }>({
    name: 'draft',
    text: `select d."state", d."number", v."draftVersion",
             array(select u."update" from "DraftUpdate" u
                   where u."loanId" = d."loanId" and u."number" > d."compactedTo"
                   order by u."number") as "updates"
           from "DraftDocument" d left join "Verdict" v on v."loanId" = d."loanId"
           where d."loanId" = $1`,
    values: [loanId],
  });
  const [row] = answer.rows;
  if (!row) return undefined;
  const update = Y.mergeUpdates([row.state, ...row.updates]);
  return { update, number: row.number, draftVersion: row.draftVersion ?? 0 };
}

export interface DraftNewsPage {
  readonly updates: { readonly number: number; readonly update: Uint8Array }[];
  readonly draftVersion: number;
}

/** What came after a number, in order. A gap at its beginning says that it was folded away meanwhile. */
export async function draftUpdatesAfter(
  database: Database,
  loanId: string,
  after: number,
): Promise<DraftNewsPage> {
  const answer = await database.pool.query<{ number: number; update: Buffer; draftVersion: number | null }>({
    name: 'draft-after',
    text: `select u."number", u."update", v."draftVersion"
           from "DraftUpdate" u left join "Verdict" v on v."loanId" = u."loanId"
           where u."loanId" = $1 and u."number" > $2 order by u."number"`,
    values: [loanId, after],
  });
  return { updates: answer.rows, draftVersion: answer.rows.at(-1)?.draftVersion ?? 0 };
}

const bytes = (update: Uint8Array): Uint8Array<ArrayBuffer> => new Uint8Array(update);
