/** The shared text of a review: opened by members, added to, told to everybody who has it open. */
import { Inject, Injectable } from '@nestjs/common';
import * as Y from 'yjs';
import type { DraftKept, DraftOpened, DraftRefused } from '../../../libs/contracts/index.js';
import {
  addToDraft,
  change,
  DraftRefusal,
  lockDraft,
  NotFound,
  readDraft,
  type Change,
  type KeptDraft,
} from '../../../libs/store/index.js';
import type { SignedIn } from '../access/sessions.js';
import { loanOf, tellLoan } from '../loans/tellLoan.js';
import { CONFIG, type ServerConfig } from '../serverConfig.js';
import { mayReadDraft } from './mayReadDraft.js';

/** One line in the history for a spell of writing, not one for each word. */
const SPELL_MS = 15 * 60_000;

@Injectable()
export class Drafts {
  constructor(@Inject(CONFIG) private readonly config: ServerConfig) {}

  /** @param vector what the page has already, so that only the rest is sent */
  async open(loanId: string, vector: Uint8Array, by: SignedIn): Promise<DraftOpened> {
    const refused = await this.refusal(loanId, by);
    if (refused) return refused;
    try {
      let draft = await readDraft(this.config.database, loanId);
      if (!draft) {
        await change(this.config.database, by, async (made) => void (await lockDraft(made.tx, loanId)));
        draft = await readDraft(this.config.database, loanId);
      }
      if (!draft) return gone;
      return {
        ok: true,
        update: Y.diffUpdate(draft.update, vector),
        vector: Y.encodeStateVectorFromUpdate(draft.update),
        number: draft.number,
        draftVersion: draft.draftVersion,
      };
    } catch (error) {
      return this.#refusalOf(error, 'open a draft');
    }
  }

  /** Answers when it is committed, not before. */
  async add(loanId: string, update: Uint8Array, by: SignedIn): Promise<DraftKept> {
    const refused = await this.refusal(loanId, by);
    if (refused) return refused;
    try {
      return await change(this.config.database, by, async (made) => {
        const draft = await lockDraft(made.tx, loanId);
        const kept = await addToDraft(made, draft, update);
        if (kept) await tellWriting(made, loanId, kept);
        return {
          ok: true as const,
          number: kept?.number ?? draft.number,
          draftVersion: kept?.draftVersion ?? (await this.#version(made, loanId)),
        };
      });
    } catch (error) {
      return this.#refusalOf(error, 'add to a draft');
    }
  }

  /** Asked anew each time: a session may have ended and a blind session begun since. */
  async refusal(loanId: string, by: SignedIn): Promise<DraftRefused | undefined> {
    const { prisma } = this.config.database;
    const session = await prisma.session.findUnique({
      where: { tokenHash: by.sessionHash },
      select: { expiresAt: true, account: { select: { id: true, role: true, disabledAt: true } } },
    });
    if (!session || session.account.disabledAt !== null || session.expiresAt <= new Date()) return forbidden;
    const access = await mayReadDraft(prisma, loanId, session.account);
    return access === 'allowed' ? undefined : access === 'blind' ? blind : forbidden;
  }

  async #version(made: Change, loanId: string): Promise<number> {
    const verdict = await made.tx.verdict.findUnique({ where: { loanId }, select: { draftVersion: true } });
    return verdict?.draftVersion ?? 0;
  }

  #refusalOf(error: unknown, doing: string): DraftRefused {
    if (error instanceof NotFound) return gone;
    if (error instanceof DraftRefusal) {
      const code = ({ malformed: 'invalid', incomplete: 'again', 'too-long': 'too-long' } as const)[
        error.code
      ];
      return { ok: false, code, message: error.message };
    }
    this.config.report(error as Error, doing);
    return { ok: false, code: 'fault', message: 'The server could not keep it; it is tried again.' };
  }
}

const forbidden: DraftRefused = {
  ok: false,
  code: 'forbidden',
  message: 'The draft is open to members of the team only.',
};
const blind: DraftRefused = {
  ok: false,
  code: 'blind',
  message: 'You are listening to a unit of this loan blind: its draft is closed to you until you seal.',
};
const gone: DraftRefused = { ok: false, code: 'not-found', message: 'That loan is not there (any more).' };

/** In the history once for a spell of writing; and whenever a sign-off falls by it, at once. */
export async function tellWriting(made: Change, loanId: string, kept: KeptDraft): Promise<void> {
  if (!kept.textChanged) return;
  if (kept.voided) {
    const sentence = 'wrote in the draft; what was signed off before no longer stands';
    tellLoan(made, await loanOf(made, loanId), 'draft-written', sentence);
    return;
  }
  const lately = await made.tx.historyEntry.findFirst({
    where: {
      loanId,
      actorId: made.actor.id,
      action: 'draft-written',
      at: { gt: new Date(Date.now() - SPELL_MS) },
    },
    select: { id: true },
  });
  if (!lately) tellLoan(made, await loanOf(made, loanId), 'draft-written', 'wrote in the draft');
}
