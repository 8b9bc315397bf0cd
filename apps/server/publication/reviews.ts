/**
 * What anybody may read: reviews that are out, as they stood when they went out. Nothing here looks at a loan, a unit
 * or an analysis as it is now.
 */
import { Inject, Injectable } from '@nestjs/common';
import type { z } from 'zod';
import {
  type ComparisonQuery,
  type PublishedQuery,
  type ReviewContent,
  type ReviewSummary,
  type ReviewUnitsPage,
  type ReviewUnitsQuery,
  type ReviewView,
} from '../../../libs/contracts/index.js';
import {
  describeComparison,
  type ComparedUnit,
  type FigureDescription,
} from '../../../libs/figures/index.js';
import { markdownHtml } from '../../../libs/publication/markdownHtml.js';
import {
  instantOf,
  nothingSealed,
  publicationHouse,
  reviewsOut,
  reviewVersions,
  sealedFrom,
  searchReviewUnits,
  type PublishedUnitRow,
  type Sealed,
  type StoredFigure,
} from '../../../libs/store/index.js';
import type { SignedIn } from '../access/sessions.js';
import { labelsOf } from '../archive/labels.js';
import { refuse } from '../http/refusals.js';
import { CONFIG, type ServerConfig } from '../serverConfig.js';
import { presentReviewUnit } from './present.js';
import { bundleName } from './publications.js';
import { figureLinks } from './reviewLinks.js';

type Reader = SignedIn | undefined;
type FigureForm = 'svg' | 'png' | 'csv' | 'json';
const current = { state: 'published' as const };

@Injectable()
export class Reviews {
  constructor(@Inject(CONFIG) private readonly config: ServerConfig) {}

  async list(query: z.output<typeof PublishedQuery>, reader: Reader): Promise<ReviewSummary[]> {
    const { prisma } = this.config.database;
    const sealed = await this.#sealedFrom(reader);
    const rows = await reviewsOut(prisma, query, [...sealed.loans]);
    return rows.map(({ publishedAt, firstPublishedAt, ...row }) => ({
      ...row,
      publishedAt: publishedAt.toISOString(),
      firstPublishedAt: firstPublishedAt.toISOString(),
    }));
  }

  async one(loanId: string, version: number | undefined, reader: Reader): Promise<ReviewView> {
    const { prisma } = this.config.database;
    const row = await this.#outOf(loanId, version, reader);
    const content = row.content as unknown as ReviewContent;
    const [versions, house, shown] = await Promise.all([
      reviewVersions(prisma, loanId),
      publicationHouse(prisma),
      prisma.readerFeedback.findMany({
        where: { loanId, shownAt: { not: null }, words: { not: '' } },
        orderBy: { createdAt: 'desc' },
        take: 50,
      }),
    ]);
    return {
      ...content,
      loanId,
      publicationId: row.id,
      number: row.number ?? 0,
      publishedAt: instantOf(row.publishedAt) ?? '',
      changeNote: row.changeNote,
      versions,
      html: markdownHtml(content.text.markdown),
      figures: row.units.map((unit) => ({
        unitId: unit.id,
        figures: figuresOf(unit).map(({ name, title }) => ({
          name,
          title,
          ...figureLinks(loanId, row.number ?? 0, unit.id, name),
        })),
      })),
      bundleUrl: `/api/reviews/${loanId}/versions/${row.number}/bundle`,
      bundleBytes: row.bundleBytes ?? 0,
      feedbackOpen: house.feedbackOpen,
      shownFeedback: shown.map(({ createdAt, clarity, words }) => ({
        at: createdAt.toISOString(),
        clarity,
        words,
      })),
    };
  }

  async units(query: z.output<typeof ReviewUnitsQuery>, reader: Reader): Promise<ReviewUnitsPage> {
    const sealed = await this.#sealedFrom(reader);
    const { rows, total } = await searchReviewUnits(this.config.database, query, [...sealed.loans]);
    return { rows: rows.map(presentReviewUnit), total, page: query.page, pageSize: query.pageSize };
  }

  async comparison(query: z.output<typeof ComparisonQuery>, reader: Reader): Promise<FigureDescription> {
    const sealed = await this.#sealedFrom(reader);
    const rows = await this.config.database.prisma.publishedUnit.findMany({
      where: {
        id: { in: query.units },
        publication: { state: { in: ['published', 'superseded'] }, loanId: { notIn: [...sealed.loans] } },
      },
      include: { publication: { select: { title: true, number: true } } },
    });
    const units = query.units.flatMap((id) => rows.find((row) => row.id === id) ?? []);
    if (units.length < query.units.length) throw refuse.notFound('published unit');
    const labels = labelsOf(
      units.map(({ name, makerName, publication }) => ({
        unitName: name,
        makerName,
        loanTitle: publication.title,
        serial: `version ${publication.number}`,
      })),
    );
    const compared = units.map(({ curves }, index): ComparedUnit => ({
      label: labels[index] ?? '',
      result: (curves ?? {}) as unknown as ComparedUnit['result'],
    }));
    const figure = describeComparison(compared.map(withoutNulls), query.curve, query.alignment, {
      title: labels.join(' · '),
      provenance: 'Each unit as it was published',
      invented: units.some(({ invented }) => invented),
    });
    if (!figure) {
      throw refuse.wrong(
        'nothing-to-compare',
        'Fewer than two of these units have this curve.',
        'Choose another.',
      );
    }
    return figure;
  }

  async figure(
    at: { loanId: string; version: number; unitId: string; name: string; form: FigureForm },
    reader: Reader,
  ): Promise<{ sha256: string; name: string }> {
    const row = await this.#outOf(at.loanId, at.version, reader);
    const unit = row.units.find(({ id }) => id === at.unitId);
    const figure = unit && figuresOf(unit).find(({ name }) => name === at.name);
    if (!figure) throw refuse.notFound('figure');
    return { sha256: figure[at.form], name: `${at.name}.${at.form}` };
  }

  async bundle(loanId: string, version: number, reader: Reader): Promise<{ sha256: string; name: string }> {
    const row = await this.#outOf(loanId, version, reader);
    if (!row.bundle) throw refuse.notFound('bundle');
    return { sha256: row.bundle, name: bundleName(row.title, row.number) };
  }

  /** A version that is out or was; of anything else nothing is said, not even that it is there. */
  async #outOf(loanId: string, version: number | undefined, reader: Reader) {
    const row = await this.config.database.prisma.publication.findFirst({
      where:
        version === undefined
          ? { loanId, ...current }
          : { loanId, number: version, state: { in: ['published', 'superseded'] } },
      include: { units: { orderBy: { position: 'asc' } } },
    });
    if (!row) throw refuse.notFound('review');
    if ((await this.#sealedFrom(reader)).loans.has(loanId)) throw refuse.sealed();
    return row;
  }

  /** A colleague who is still listening blind is not told here either. */
  #sealedFrom(reader: Reader): Promise<Sealed> {
    return reader ? sealedFrom(this.config.database.prisma, reader.id) : Promise.resolve(nothingSealed);
  }
}

const figuresOf = (unit: PublishedUnitRow): StoredFigure[] => unit.figures as unknown as StoredFigure[];

/** A unit's sensitivity is kept as null where there is none; the figure wants it absent. */
function withoutNulls({ label, result }: ComparedUnit): ComparedUnit {
  const kept = Object.entries(result).filter(([, value]) => value !== null);
  return { label, result: Object.fromEntries(kept) as unknown as ComparedUnit['result'] };
}
