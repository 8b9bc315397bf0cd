/**
 * Private previews as a visitor without an account sees them. The secret comes in the body of a request, never in an
 * address; one that is unknown, over or taken back is answered alike.
 */
import { Inject, Injectable } from '@nestjs/common';
import type { z } from 'zod';
import type {
  CommentOnPreview,
  LookAtPreview,
  PreviewPart,
  PreviewSection,
  PreviewStill,
  PreviewView,
  VoteOnPreview,
} from '../../../libs/contracts/index.js';
import { renderMarkdown } from '../../../libs/drafts/renderMarkdown.js';
import type { ReviewSection } from '../../../libs/drafts/review.js';
import { change, type Actor } from '../../../libs/store/index.js';
import { hashToken } from '../access/sessions.js';
import { refuse, Refused } from '../http/refusals.js';
import { CONFIG, type ServerConfig } from '../serverConfig.js';
import { PreviewLimits } from './previewLimits.js';
import { tellPreviews } from './previews.js';
import { loadReview } from './reviewMaterial.js';

/** As many as anybody has to say; beyond it somebody plays. */
const MOST_COMMENTS = 200;

type Link = NonNullable<Awaited<ReturnType<PreviewVisits['find']>>>;

@Injectable()
export class PreviewVisits {
  constructor(
    @Inject(CONFIG) private readonly config: ServerConfig,
    @Inject(PreviewLimits) private readonly limits: PreviewLimits,
  ) {}

  async look(ask: z.output<typeof LookAtPreview>, address: string): Promise<PreviewView> {
    await this.limits.look(address);
    const link = await this.#open(ask.token, address);
    const { prisma } = this.config.database;
    if (!ask.again)
      await prisma.previewLink.updateMany({
        where: { id: link.id },
        data: { views: { increment: 1 }, lastViewedAt: new Date() },
      });
    return this.#view(link, ask.visitor);
  }

  /** Whether the page is still open, and a mark that changes with what it shows. */
  async still(ask: z.output<typeof LookAtPreview>, address: string): Promise<PreviewStill> {
    await this.limits.look(address);
    const link = await this.#open(ask.token, address);
    const { prisma } = this.config.database;
    const [verdict, answered] = await Promise.all([
      prisma.verdict.findUnique({
        where: { loanId: link.loanId },
        select: { version: true, draftVersion: true },
      }),
      prisma.previewComment.aggregate({
        where: { linkId: link.id, visitorHash: hashToken(ask.visitor) },
        _sum: { version: true },
        _count: true,
      }),
    ]);
    const parts = [link.version, verdict?.version, verdict?.draftVersion, answered._sum.version];
    return { closed: link.closedAt !== null, mark: hashToken(JSON.stringify(parts)).slice(0, 16) };
  }

  async vote(ask: z.output<typeof VoteOnPreview>, address: string): Promise<PreviewView> {
    const link = await this.#toWriteOn(ask.token, address);
    const visitorHash = hashToken(ask.visitor);
    await change(this.config.database, visitorNamed(ask.name), async (made) => {
      const { publish, name } = ask;
      await made.tx.previewVote.upsert({
        where: { linkId_visitorHash: { linkId: link.id, visitorHash } },
        create: { linkId: link.id, visitorHash, publish, name },
        update: { publish, name },
      });
      await tellPreviews(made, link.loanId, 'voted on a preview', false);
    });
    return this.#view(link, ask.visitor);
  }

  async comment(ask: z.output<typeof CommentOnPreview>, address: string): Promise<PreviewView> {
    const link = await this.#toWriteOn(ask.token, address);
    await change(this.config.database, visitorNamed(ask.name), async (made) => {
      if ((await made.tx.previewComment.count({ where: { linkId: link.id } })) >= MOST_COMMENTS)
        throw refuse.wrong('full', 'This preview takes no more comments.', 'Write to the team.');
      const { name, part, body } = ask;
      await made.tx.previewComment.create({
        data: { linkId: link.id, visitorHash: hashToken(ask.visitor), name, part, body },
      });
      await tellPreviews(made, link.loanId, 'commented on a preview', link.kind === 'maker');
    });
    return this.#view(link, ask.visitor);
  }

  async find(token: string) {
    const link = await this.config.database.prisma.previewLink.findUnique({
      where: { tokenHash: hashToken(token) },
    });
    return link && link.revokedAt === null && link.expiresAt > new Date() ? link : undefined;
  }

  async #open(token: string, address: string): Promise<Link> {
    const link = await this.find(token);
    if (link) return link;
    await this.limits.miss(address);
    throw notOpen();
  }

  async #toWriteOn(token: string, address: string): Promise<Link> {
    const link = await this.#open(token, address);
    await this.limits.write(link.id, address);
    if (link.closedAt !== null)
      throw refuse.wrong('round-closed', 'The comment round is over.', 'Write to the team.');
    return link;
  }

  async #view(link: Link, visitor: string): Promise<PreviewView> {
    const { database, blobs } = this.config;
    const hidden = new Set(link.hidden as PreviewPart[]);
    const review = await loadReview(database.prisma, blobs, link.loanId, hidden);
    const visitorHash = hashToken(visitor);
    const [vote, comments] = await Promise.all([
      database.prisma.previewVote.findUnique({
        where: { linkId_visitorHash: { linkId: link.id, visitorHash } },
      }),
      database.prisma.previewComment.findMany({
        where: { linkId: link.id, visitorHash },
        orderBy: { createdAt: 'asc' },
      }),
    ]);
    const { teamName, title, makerName, units, invented } = review;
    return {
      teamName,
      title,
      makerName,
      units: [...units],
      invented,
      kind: link.kind as PreviewView['kind'],
      name: link.name,
      expiresAt: link.expiresAt.toISOString(),
      closed: link.closedAt !== null,
      sections: review.sections.map(shown),
      vote: vote?.publish ?? null,
      comments: comments.map(({ body, part, createdAt, answer, answeredByName }) => ({
        body,
        part,
        at: createdAt.toISOString(),
        answer,
        answeredBy: answeredByName,
      })),
    };
  }
}

function shown(section: ReviewSection): PreviewSection {
  const { title } = section;
  switch (section.part) {
    case 'text':
      return { part: 'text', title, html: renderMarkdown(section.markdown) };
    case 'figures':
      return {
        part: 'figures',
        title,
        figures: section.figures.map((figure) => ({
          title: figure.title,
          unitName: figure.unitName,
          svg: figure.svg,
        })),
      };
    case 'findings':
      return { part: 'findings', title, findings: [...section.findings] };
    case 'numbers':
      return { part: 'numbers', title, numbers: [...section.numbers] };
    default:
      return {
        part: section.part,
        title,
        points: section.points.map((point) => ({ ...point, evidence: [...point.evidence] })),
      };
  }
}

const visitorNamed = (name: string): Actor => ({
  id: null,
  name: name === '' ? 'A visitor of a preview' : `${name} (visitor of a preview)`,
});

const notOpen = () =>
  new Refused(404, {
    code: 'preview-not-open',
    message: 'This preview is not open (any more).',
    remedy: 'Ask whoever gave you the link for a new one.',
  });
