/** Private previews as the team sees them: made, narrowed, taken back, answered. */
import { Inject, Injectable } from '@nestjs/common';
import type { z } from 'zod';
import type {
  AddPreview,
  AnswerPreviewComment,
  ChangePreview,
  PreviewLinkView,
  PreviewPart,
  PreviewsView,
} from '../../../libs/contracts/index.js';
import {
  change,
  instantOf,
  makerRoundOf,
  StaleVersion,
  writeVersion,
  type Change,
  type Tx,
} from '../../../libs/store/index.js';
import { hashToken, newToken, type SignedIn } from '../access/sessions.js';
import { refuse } from '../http/refusals.js';
import { loanOf, tellLoan } from '../loans/tellLoan.js';
import { CONFIG, type ServerConfig } from '../serverConfig.js';

const Day = 24 * 3600_000;
type LinkRow = Awaited<ReturnType<typeof loadLinks>>[number];
const loadLinks = (tx: Tx, loanId: string) =>
  tx.previewLink.findMany({
    where: { loanId },
    orderBy: [{ createdAt: 'desc' }, { id: 'desc' }],
    include: { votes: { orderBy: { updatedAt: 'desc' } }, comments: { orderBy: { createdAt: 'asc' } } },
  });

@Injectable()
export class Previews {
  constructor(@Inject(CONFIG) private readonly config: ServerConfig) {}

  async list(loanId: string): Promise<PreviewsView> {
    const { prisma } = this.config.database;
    const loan = await prisma.loan.findUnique({ where: { id: loanId }, select: { makerMayComment: true } });
    if (!loan) throw refuse.notFound('loan');
    const rows = await loadLinks(prisma, loanId);
    const now = new Date();
    const makers = rows.filter(({ kind }) => kind === 'maker');
    return {
      makerMayComment: loan.makerMayComment,
      makerRound: makerRoundOf(loan.makerMayComment, makers, now),
      links: rows.map((row) => present(row, now)),
    };
  }

  async add(loanId: string, ask: z.output<typeof AddPreview>, by: SignedIn): Promise<PreviewLinkView> {
    const token = newToken();
    const id = await change(this.config.database, by, async (made) => {
      const loan = await made.tx.loan.findUnique({ where: { id: loanId } });
      if (!loan) throw refuse.notFound('loan');
      if (ask.kind === 'maker' && !loan.makerMayComment)
        throw refuse.wrong(
          'no-comment-round',
          'The terms of this loan give the maker no word before publication.',
          'Change the terms first, or make a private preview.',
        );
      const { daysValid, ...fields } = ask;
      const link = await made.tx.previewLink.create({
        data: {
          ...fields,
          loanId,
          tokenHash: hashToken(token),
          createdBy: by.id,
          createdByName: by.name,
          expiresAt: new Date(Date.now() + daysValid * Day),
        },
      });
      const whom = ask.name === '' ? '' : ` for ${ask.name}`;
      const what = ask.kind === 'maker' ? 'began the maker’s comment round' : `made a private preview${whom}`;
      await tellPreviews(made, loanId, what, ask.kind === 'maker');
      return link.id;
    });
    // In the fragment: browsers send it to no server, and no log holds it.
    return { ...(await this.#one(loanId, id)), link: `/preview#${token}` };
  }

  async change(
    loanId: string,
    id: string,
    ask: z.output<typeof ChangePreview>,
    by: SignedIn,
  ): Promise<PreviewLinkView> {
    await change(this.config.database, by, async (made) => {
      const row = (await loadLinks(made.tx, loanId)).find((link) => link.id === id);
      if (!row) throw refuse.notFound('preview');
      if (ask.closed && row.kind !== 'maker')
        throw refuse.wrong(
          'no-comment-round',
          'Only the maker’s comment round is closed; take a preview back.',
        );
      const now = new Date();
      const { version, revoked, closed, ...fields } = ask;
      await writeLink(made, row, version, {
        ...fields,
        ...(revoked ? { revokedAt: row.revokedAt ?? now } : {}),
        ...(closed ? { closedAt: row.closedAt ?? now } : {}),
      });
      const what = revoked
        ? 'took a preview back'
        : closed
          ? 'closed the maker’s comment round'
          : 'changed what a preview shows';
      await tellPreviews(made, loanId, what, row.kind === 'maker');
    });
    return this.#one(loanId, id);
  }

  async answer(
    loanId: string,
    commentId: string,
    ask: z.output<typeof AnswerPreviewComment>,
    by: SignedIn,
  ): Promise<PreviewsView> {
    await change(this.config.database, by, async (made) => {
      const there = await made.tx.previewComment.count({ where: { id: commentId, link: { loanId } } });
      if (there === 0) throw refuse.notFound('comment');
      await writeVersion(made.tx.previewComment, commentId, ask.version, {
        answer: ask.answer,
        answeredByName: by.name,
        answeredAt: new Date(),
      });
      await tellPreviews(made, loanId, 'answered a comment on a preview', false);
    });
    return this.list(loanId);
  }

  async #one(loanId: string, id: string): Promise<PreviewLinkView> {
    const row = (await loadLinks(this.config.database.prisma, loanId)).find((link) => link.id === id);
    if (!row) throw refuse.notFound('preview');
    return present(row, new Date());
  }
}

async function writeLink(made: Change, row: LinkRow, version: number, data: object): Promise<void> {
  try {
    await writeVersion(made.tx.previewLink, row.id, version, data);
  } catch (error) {
    if (error instanceof StaleVersion) throw new StaleVersion(present(row, new Date()));
    throw error;
  }
}

/** @param ofLoan it bears on where the loan may go next */
export async function tellPreviews(
  made: Change,
  loanId: string,
  sentence: string,
  ofLoan: boolean,
): Promise<void> {
  const loan = await loanOf(made, loanId);
  if (ofLoan) tellLoan(made, loan, 'preview-changed', sentence);
  else made.record({ action: 'preview-changed', subject: 'loan', subjectId: loanId, loanId, sentence });
  made.publish('team', 'previews-changed', { loanId, title: loan.title, by: made.actor.name, sentence });
}

function present(row: LinkRow, now: Date): PreviewLinkView {
  const publish = row.votes.filter((vote) => vote.publish).length;
  return {
    id: row.id,
    kind: row.kind as PreviewLinkView['kind'],
    name: row.name,
    hidden: row.hidden as PreviewPart[],
    state:
      row.revokedAt !== null
        ? 'revoked'
        : row.closedAt !== null
          ? 'closed'
          : row.expiresAt <= now
            ? 'expired'
            : 'open',
    createdBy: row.createdByName,
    createdAt: row.createdAt.toISOString(),
    expiresAt: row.expiresAt.toISOString(),
    views: row.views,
    lastViewedAt: instantOf(row.lastViewedAt),
    votes: {
      publish,
      dont: row.votes.length - publish,
      names: row.votes.map((vote) => ({
        name: vote.name,
        publish: vote.publish,
        at: vote.updatedAt.toISOString(),
      })),
    },
    comments: row.comments.map((comment) => ({
      id: comment.id,
      name: comment.name,
      part: comment.part,
      body: comment.body,
      at: comment.createdAt.toISOString(),
      answer: comment.answer,
      answeredBy: comment.answeredByName,
      answeredAt: instantOf(comment.answeredAt),
      version: comment.version,
    })),
    version: row.version,
  };
}
