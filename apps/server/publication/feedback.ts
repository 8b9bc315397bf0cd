/** What readers say of a review: a few questions and their own words, shown only when a member shows them. */
import { Inject, Injectable } from '@nestjs/common';
import type { z } from 'zod';
import {
  feedbackLengths,
  feedbackMissing,
  type FeedbackOverview,
  type FeedbackSummary,
  type FeedbackView,
  type GiveFeedback,
  type JudgeFeedback,
} from '../../../libs/contracts/index.js';
import { change, publicationHouse, writeVersion } from '../../../libs/store/index.js';
import type { SignedIn } from '../access/sessions.js';
import { refuse } from '../http/refusals.js';
import { CONFIG, type ServerConfig } from '../serverConfig.js';
import { Visitors } from './visitors.js';

const LISTED = 300;
const aReader = { id: null, name: 'A reader' } as const;

@Injectable()
export class Feedback {
  constructor(
    @Inject(CONFIG) private readonly config: ServerConfig,
    @Inject(Visitors) private readonly visitors: Visitors,
  ) {}

  async give(loanId: string, ask: z.output<typeof GiveFeedback>, address: string): Promise<{ kept: true }> {
    const { database } = this.config;
    const out = await database.prisma.publication.findFirst({ where: { loanId, state: 'published' } });
    if (!out) throw refuse.notFound('review');
    const house = await publicationHouse(database.prisma);
    if (!house.feedbackOpen) throw refuse.wrong('feedback-closed', 'The team takes no answers at present.');
    const visitorHash = await this.visitors.hashOf(address);
    await this.visitors.countAnswer(visitorHash, loanId);
    await change(database, aReader, async (made) => {
      const { missing, ...fields } = ask;
      await made.tx.readerFeedback.create({
        data: { ...fields, missing: [...new Set(missing)], loanId, publicationId: out.id, visitorHash },
      });
      made.publish('team', 'feedback-changed', {
        loanId,
        title: out.title,
        sentence: 'A reader answered; nobody else sees it before you show it.',
      });
    });
    return { kept: true };
  }

  async judge(id: string, ask: z.output<typeof JudgeFeedback>, by: SignedIn): Promise<FeedbackView> {
    await change(this.config.database, by, async (made) => {
      const now = new Date();
      const marks = ask.show ? { shownAt: now, hiddenAt: null } : { shownAt: null, hiddenAt: now };
      const { after } = await writeVersion<{ loanId: string; publicationId: string }>(
        made.tx.readerFeedback,
        id,
        ask.version,
        { ...marks, judgedByName: by.name },
      );
      const { title } = await made.tx.publication.findUniqueOrThrow({ where: { id: after.publicationId } });
      const sentence = ask.show
        ? 'shows a reader’s words beside the review'
        : 'keeps a reader’s words inside';
      made.record({
        action: ask.show ? 'feedback-shown' : 'feedback-hidden',
        subject: 'feedback',
        subjectId: id,
        loanId: after.loanId,
        sentence,
      });
      made.publish('team', 'feedback-changed', { loanId: after.loanId, title, sentence });
    });
    const row = await this.config.database.prisma.readerFeedback.findUniqueOrThrow({
      where: { id },
      include: { publication: true },
    });
    return presentFeedback(row);
  }

  async overview(): Promise<FeedbackOverview> {
    const rows = await this.config.database.prisma.readerFeedback.findMany({
      orderBy: { createdAt: 'desc' },
      include: { publication: { select: { title: true, number: true } } },
    });
    const current = await this.config.database.prisma.publication.findMany({
      where: { state: 'published', loanId: { in: [...new Set(rows.map(({ loanId }) => loanId))] } },
      select: { loanId: true, title: true },
    });
    const summaries = current.map(({ loanId, title }) =>
      summaryOf(
        loanId,
        title,
        rows.filter((row) => row.loanId === loanId),
      ),
    );
    return { summaries, entries: rows.slice(0, LISTED).map(presentFeedback) };
  }
}

type Row = Awaited<ReturnType<ServerConfig['database']['prisma']['readerFeedback']['findFirstOrThrow']>> & {
  publication: { title: string; number: number | null };
};

function presentFeedback(row: Row): FeedbackView {
  const { id, loanId, clarity, words, version } = row;
  return {
    id,
    loanId,
    clarity,
    words,
    version,
    reviewTitle: row.publication.title,
    reviewVersion: row.publication.number ?? 0,
    length: row.length as FeedbackView['length'],
    missing: row.missing as FeedbackView['missing'],
    at: row.createdAt.toISOString(),
    state: row.shownAt ? 'shown' : row.hiddenAt ? 'hidden' : 'waiting',
    judgedBy: row.judgedByName,
  };
}

function summaryOf(loanId: string, title: string, rows: readonly Row[]): FeedbackSummary {
  const counted = <K extends string>(keys: readonly K[], has: (row: Row, key: K) => boolean) =>
    Object.fromEntries(keys.map((key) => [key, rows.filter((row) => has(row, key)).length])) as Record<
      K,
      number
    >;
  return {
    loanId,
    title,
    answers: rows.length,
    waiting: rows.filter((row) => row.shownAt === null && row.hiddenAt === null && row.words !== '').length,
    meanClarity: rows.length === 0 ? null : rows.reduce((sum, { clarity }) => sum + clarity, 0) / rows.length,
    clarity: [1, 2, 3, 4, 5].map((grade) => rows.filter(({ clarity }) => clarity === grade).length),
    length: counted(feedbackLengths, (row, key) => row.length === key),
    missing: counted(feedbackMissing, (row, key) => row.missing.includes(key)),
  };
}
