/** The archive for a reader: found by numbers, by likeness, and laid over each other. */
import { Inject, Injectable } from '@nestjs/common';
import type { z } from 'zod';
import type {
  ArchivePage,
  ArchiveQuery,
  ComparablesQuery,
  ComparablesView,
  ComparisonQuery,
} from '../../../libs/contracts/index.js';
import {
  describeComparison,
  type ComparedUnit,
  type FigureDescription,
} from '../../../libs/figures/index.js';
import {
  comparedResults,
  nearestUnits,
  noteOpenings,
  presentArchived,
  sealedFrom,
  searchArchive,
  type ComparedResult,
} from '../../../libs/store/index.js';
import type { SignedIn } from '../access/sessions.js';
import { refuse } from '../http/refusals.js';
import { CONFIG, type ServerConfig } from '../serverConfig.js';
import { labelsOf } from './labels.js';

@Injectable()
export class Archive {
  constructor(@Inject(CONFIG) private readonly config: ServerConfig) {}

  async search(query: z.output<typeof ArchiveQuery>, by: SignedIn): Promise<ArchivePage> {
    const { rows, total, withheld } = await searchArchive(this.config.database, query, by.id);
    await this.#noteOpenings(rows, by);
    return { rows: rows.map(presentArchived), total, page: query.page, pageSize: query.pageSize, withheld };
  }

  async comparables(
    unitId: string,
    query: z.output<typeof ComparablesQuery>,
    by: SignedIn,
  ): Promise<ComparablesView> {
    const found = await nearestUnits(this.config.database, unitId, query, by.id);
    if (!found) {
      if ((await this.config.database.prisma.unit.count({ where: { id: unitId } })) === 0)
        throw refuse.notFound('unit');
      // It has nothing to compare by: an answer, not a mistake of whoever asks.
      return { unitId, comparedBy: [], rows: [], withheld: 0 };
    }
    const { comparedBy, rows, withheld } = found;
    await this.#noteOpenings([{ unitId }, ...rows], by);
    return {
      unitId,
      comparedBy,
      rows: rows.map((row) => ({
        ...presentArchived(row),
        distance: row.distance,
        responseDb: row.responseDb,
        directivityDb: row.directivityDb,
        bassOctaves: row.bassOctaves,
      })),
      withheld,
    };
  }

  async comparison(query: z.output<typeof ComparisonQuery>, by: SignedIn): Promise<FigureDescription> {
    const sealed = await sealedFrom(this.config.database.prisma, by.id);
    if (query.units.some((id) => sealed.units.has(id))) throw refuse.sealed('one of these units');
    const found = await comparedResults(this.config.database, query.units, query.curve);
    const missing = query.units.length - found.length;
    if (missing > 0) {
      const words = missing === 1 ? 'One of these units has' : `${missing} of these units have`;
      throw refuse.wrong('not-in-archive', `${words} no response in the archive.`, 'Choose analysed units.');
    }
    await this.#noteOpenings(found, by);
    const labels = labelsOf(found);
    const units = found.map(({ frequencyHz, curve, sensitivity }, index): ComparedUnit => ({
      label: labels[index] ?? '',
      result: {
        ...(frequencyHz ? { frequencyHz } : {}),
        ...(curve ? { curves: { [query.curve]: curve } } : {}),
        ...(sensitivity ? { sensitivity } : {}),
      } as ComparedUnit['result'],
    }));
    const figure = describeComparison(units, query.curve, query.alignment, contextOf(found, labels));
    if (!figure) {
      const lacking = query.alignment === 'sensitivity' ? 'this curve and a sensitivity' : 'this curve';
      throw refuse.wrong(
        'nothing-to-compare',
        `Fewer than two of these units have ${lacking}.`,
        'Choose another curve, or lay them over each other as measured.',
      );
    }
    return figure;
  }

  /** Whoever has seen a unit's numbers no longer listens blind. */
  #noteOpenings(units: readonly { unitId: string }[], by: SignedIn): Promise<void> {
    return noteOpenings(
      this.config.database,
      units.map(({ unitId }) => unitId),
      by.id,
    );
  }
}

function contextOf(units: readonly ComparedResult[], labels: readonly string[]) {
  const source = ({ computationId, algorithmVersion }: ComparedResult, index: number) =>
    `${labels[index] ?? ''}: inputs ${computationId.slice(0, 12)}, algorithm ${algorithmVersion}`;
  return {
    title: labels.join(' · '),
    provenance: units.map(source).join('; '),
    invented: units.some(({ invented }) => invented),
  };
}
