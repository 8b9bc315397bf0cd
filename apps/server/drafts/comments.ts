/** Comments on the draft, answers to them, and wordings put forward that somebody accepts or refuses. */
import { Inject, Injectable } from '@nestjs/common';
import type { z } from 'zod';
import type {
  AddDraftComment,
  ChangeDraftComment,
  CommentFigure,
  CommentState,
  DecideSuggestion,
  DraftCommentsView,
  DraftCommentView,
} from '../../../libs/contracts/index.js';
import { changed, stretchOf, textIn, type Anchor } from '../../../libs/drafts/index.js';
import {
  change,
  changeDraft,
  json,
  lockDraft,
  StaleVersion,
  writeVersion,
  type Change,
  type LockedDraft,
} from '../../../libs/store/index.js';
import type { SignedIn } from '../access/sessions.js';
import { refuse, Refused } from '../http/refusals.js';
import { loanOf } from '../loans/tellLoan.js';
import { CONFIG, type ServerConfig } from '../serverConfig.js';
import { tellWriting } from './drafts.js';
import { members } from './members.js';

type Row = Awaited<ReturnType<typeof loadComments>>[number];
const loadComments = (tx: Change['tx'], where: { loanId: string; id?: string }) =>
  tx.draftComment.findMany({
    where,
    orderBy: [{ createdAt: 'asc' }, { id: 'asc' }],
    include: { author: { select: { name: true } } },
  });

@Injectable()
export class Comments {
  constructor(@Inject(CONFIG) private readonly config: ServerConfig) {}

  async list(loanId: string): Promise<DraftCommentsView> {
    const { prisma } = this.config.database;
    const loan = await prisma.loan.count({ where: { id: loanId } });
    if (loan === 0) throw refuse.notFound('loan');
    const rows = await loadComments(prisma, { loanId });
    return { comments: rows.map(present), people: await members(prisma) };
  }

  async add(loanId: string, ask: z.output<typeof AddDraftComment>, by: SignedIn): Promise<DraftCommentsView> {
    await change(this.config.database, by, async (made) => {
      await this.#checkPlace(made, loanId, ask);
      const { anchor, figure, replacement, ...fields } = ask;
      const comment = await made.tx.draftComment.create({
        data: {
          ...fields,
          replyTo: ask.replyTo ?? null,
          loanId,
          authorId: by.id,
          replacement: replacement ?? null,
          ...(anchor ? { anchor: json(anchor) } : {}),
          ...(figure ? { figure: json(figure) } : {}),
        },
      });
      const sentence = ask.replyTo
        ? 'answered a comment on the draft'
        : replacement === undefined
          ? 'commented on the draft'
          : 'put forward another wording';
      await this.#tell(made, loanId, comment.id, sentence);
      await tellMentioned(made, loanId, ask.mentions, by);
    });
    return this.list(loanId);
  }

  async change(
    loanId: string,
    id: string,
    ask: z.output<typeof ChangeDraftComment>,
    by: SignedIn,
  ): Promise<DraftCommentsView> {
    await change(this.config.database, by, async (made) => {
      const row = await this.#row(made, loanId, id);
      if (ask.body !== undefined && row.authorId !== by.id)
        throw refuse.forbidden('Only its author changes the words of a comment.');
      if (ask.state !== undefined && (row.state === 'accepted' || row.state === 'refused'))
        throw refuse.wrong('decided', 'This wording was decided on already.');
      const settled = ask.state === 'resolved';
      await this.#write(made, row, ask.version, {
        ...(ask.body === undefined ? {} : { body: ask.body }),
        ...(ask.state === undefined
          ? {}
          : {
              state: ask.state,
              decidedByName: settled ? by.name : null,
              decidedAt: settled ? new Date() : null,
            }),
      });
      const sentence =
        ask.state === undefined
          ? 'changed a comment on the draft'
          : settled
            ? 'settled a comment on the draft'
            : 'opened a comment on the draft again';
      await this.#tell(made, loanId, id, sentence);
    });
    return this.list(loanId);
  }

  /** Accepted, the words are exchanged in the same transaction: never twice, and only where they still stand. */
  async decide(
    loanId: string,
    id: string,
    ask: z.output<typeof DecideSuggestion>,
    by: SignedIn,
  ): Promise<DraftCommentsView> {
    await change(this.config.database, by, async (made) => {
      const draft = await lockDraft(made.tx, loanId);
      const row = await this.#row(made, loanId, id);
      if (row.replacement === null)
        throw refuse.wrong('no-suggestion', 'This comment puts no wording forward.');
      if (row.state !== 'open') throw new StaleVersion(present(row));
      await this.#write(made, row, ask.version, {
        state: ask.accept ? 'accepted' : 'refused',
        decidedByName: by.name,
        decidedAt: new Date(),
      });
      if (ask.accept) await exchange(made, draft, row, row.replacement);
      await this.#tell(made, loanId, id, ask.accept ? 'accepted another wording' : 'refused another wording');
    });
    return this.list(loanId);
  }

  async #row(made: Change, loanId: string, id: string): Promise<Row> {
    const [row] = await loadComments(made.tx, { loanId, id });
    if (!row) throw refuse.notFound('comment');
    return row;
  }

  async #write(made: Change, row: Row, version: number, data: object): Promise<void> {
    try {
      await writeVersion(made.tx.draftComment, row.id, version, data);
    } catch (error) {
      if (error instanceof StaleVersion) throw new StaleVersion(present(row));
      throw error;
    }
  }

  async #checkPlace(made: Change, loanId: string, ask: z.output<typeof AddDraftComment>): Promise<void> {
    if (ask.replyTo !== undefined) {
      const parent = await this.#row(made, loanId, ask.replyTo);
      if (parent.replyTo !== null) throw refuse.wrong('answer-to-answer', 'Answer the comment itself.');
    }
    if (ask.figure !== undefined) {
      const { analysisId } = ask.figure;
      const found = await made.tx.analysis.count({ where: { id: analysisId, set: { unit: { loanId } } } });
      if (found === 0) throw refuse.notFound('figure');
    }
    if (ask.anchor !== undefined) {
      const { document } = await lockDraft(made.tx, loanId);
      if (!stretchOf(document, ask.anchor))
        throw refuse.wrong(
          'words-gone',
          'The words you marked are not in the text any more.',
          'Mark others, or comment on the whole.',
        );
    }
  }

  async #tell(made: Change, loanId: string, commentId: string, sentence: string): Promise<void> {
    const { title } = await loanOf(made, loanId);
    made.record({ action: 'draft-comment', subject: 'comment', subjectId: commentId, loanId, sentence });
    made.publish('team', 'comments-changed', {
      loanId,
      title,
      by: made.actor.name,
      byId: made.actor.id ?? '',
      sentence,
    });
  }
}

async function exchange(made: Change, draft: LockedDraft, row: Row, replacement: string): Promise<void> {
  const anchor = row.anchor as unknown as Anchor;
  const stretch = stretchOf(draft.document, anchor);
  const text = textIn(draft.document);
  const now = stretch ? text.toJSON().slice(stretch.from, stretch.to) : '';
  if (!stretch || now !== row.quote)
    throw new Refused(409, {
      code: 'words-changed',
      message: 'The words this wording was meant for were changed since.',
      remedy: 'Look at the text as it is now; refuse this wording, or put forward another.',
      conflict: { current: { text: now }, sent: { text: row.quote } },
    });
  const kept = await changeDraft(made, draft, (document) =>
    changed(document, () => {
      text.delete(stretch.from, stretch.to - stretch.from);
      text.insert(stretch.from, replacement);
    }),
  );
  if (kept) await tellWriting(made, draft.loanId, kept);
}

async function tellMentioned(
  made: Change,
  loanId: string,
  mentions: readonly string[],
  by: SignedIn,
): Promise<void> {
  const { title } = await loanOf(made, loanId);
  const there = new Set((await members(made.tx)).map(({ id }) => id));
  for (const id of mentions) {
    if (!there.has(id))
      throw refuse.wrong('not-a-member', 'One of those mentioned is not of the team (any more).');
    if (id !== by.id)
      made.publish(`person:${id}`, 'mentioned', {
        loanId,
        title,
        by: by.name,
        sentence: `${by.name} mentions you in the draft of ${title}.`,
      });
  }
}

function present(row: Row): DraftCommentView {
  return {
    id: row.id,
    by: row.author.name,
    byId: row.authorId,
    body: row.body,
    quote: row.quote,
    anchor: row.anchor as DraftCommentView['anchor'],
    figure: row.figure as CommentFigure | null,
    replacement: row.replacement,
    replyTo: row.replyTo,
    state: row.state as CommentState,
    decidedBy: row.decidedByName,
    decidedAt: row.decidedAt?.toISOString() ?? null,
    mentions: row.mentions,
    at: row.createdAt.toISOString(),
    version: row.version,
  };
}
