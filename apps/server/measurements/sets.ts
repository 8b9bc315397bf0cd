/** Measurement sets of a unit: their files, and asking for their analysis. */
import { Inject, Injectable } from '@nestjs/common';
import type { z } from 'zod';
import type {
  AddSet,
  AnalysisView,
  Binned,
  ChangeSet,
  RequestAnalysis,
  SetView,
  WaitingView,
} from '../../../libs/contracts/index.js';
import {
  archiveUnits,
  change,
  noteOpenings,
  putInBin,
  requestAnalysis,
  retryComputation,
  storedResult,
  writeVersion,
  type Change,
} from '../../../libs/store/index.js';
import type { SignedIn } from '../access/sessions.js';
import { refuse } from '../http/refusals.js';
import { loanOf, tellLoan } from '../loans/tellLoan.js';
import { CONFIG, type ServerConfig } from '../serverConfig.js';
import { presentAnalysis, presentSet, setInclude, wholeResult } from './present.js';
import { waitingOf } from './waiting.js';

@Injectable()
export class Sets {
  constructor(@Inject(CONFIG) private readonly config: ServerConfig) {}

  async ofUnit(unitId: string, by: SignedIn): Promise<SetView[]> {
    await this.#noteOpening(unitId, by);
    const rows = await this.config.database.prisma.measurementSet.findMany({
      where: { unitId },
      orderBy: { createdAt: 'asc' },
      include: setInclude,
    });
    return rows.map(presentSet);
  }

  async one(id: string, by?: SignedIn): Promise<SetView> {
    const row = await this.config.database.prisma.measurementSet.findUnique({
      where: { id },
      include: setInclude,
    });
    if (!row) throw refuse.notFound('measurement set');
    if (by) await this.#noteOpening(row.unitId, by);
    return presentSet(row);
  }

  async add(unitId: string, ask: z.output<typeof AddSet>, by: SignedIn): Promise<SetView> {
    const id = await change(this.config.database, by, async (made) => {
      const unit = await made.tx.unit.findUnique({ where: { id: unitId } });
      if (!unit) throw refuse.notFound('unit');
      const set = await made.tx.measurementSet.create({
        data: { name: ask.name, unitId, createdBy: by.id, invented: unit.invented },
      });
      await tellSet(made, unit, 'set-added', `began the measurement set “${ask.name}” of ${unit.name}`);
      return set.id;
    });
    return this.one(id);
  }

  async change(id: string, ask: z.output<typeof ChangeSet>, by: SignedIn): Promise<SetView> {
    const { version, ...fields } = ask;
    await change(this.config.database, by, async (made) => {
      const { after } = await writeVersion<{ unitId: string; name: string }>(
        made.tx.measurementSet,
        id,
        version,
        fields,
      );
      const unit = await made.tx.unit.findUniqueOrThrow({ where: { id: after.unitId } });
      const sentence =
        ask.setAsideWhy === undefined
          ? `renamed a set of ${unit.name} to “${after.name}”`
          : ask.setAsideWhy === null
            ? `counts “${after.name}” of ${unit.name} again`
            : `set “${after.name}” of ${unit.name} aside`;
      if (ask.setAsideWhy !== undefined) await archiveUnits(made, [unit.id]);
      await tellSet(made, unit, 'set-changed', sentence, ask.setAsideWhy ?? null);
    });
    return this.one(id);
  }

  async requestAnalysis(
    setId: string,
    ask: z.output<typeof RequestAnalysis>,
    by: SignedIn,
  ): Promise<AnalysisView> {
    const { recipe, database } = this.config;
    const settings = { ...recipe.settings, ...ask.settings };
    const { analysisId } = await change(database, by, (made) =>
      requestAnalysis(made, setId, { ...recipe, settings }),
    );
    return this.analysis(analysisId);
  }

  async retry(analysisId: string, by: SignedIn): Promise<AnalysisView> {
    const { computationId } = await this.#analysisRow(analysisId);
    const reset = await change(this.config.database, by, (made) => retryComputation(made, computationId));
    if (!reset)
      throw refuse.wrong('not-set-aside', 'Only an analysis that was set aside can be tried again.');
    return this.analysis(analysisId);
  }

  async analysis(id: string, by?: SignedIn): Promise<AnalysisView> {
    const row = await this.#analysisRow(id);
    if (by) await this.#noteOpening(row.set.unitId, by);
    return presentAnalysis(row, row.set);
  }

  async waiting(id: string): Promise<WaitingView> {
    return waitingOf(this.config.database, (await this.#analysisRow(id)).computationId);
  }

  async result(id: string, by: SignedIn): Promise<unknown> {
    const row = await this.config.database.prisma.analysis.findUnique({
      where: { id },
      select: {
        set: { select: { unitId: true } },
        computation: { select: { result: true, packedResult: true } },
      },
    });
    if (!row) throw refuse.notFound('analysis');
    const result = await storedResult(row.computation);
    if (result === null) throw refuse.notFound('result');
    await this.#noteOpening(row.set.unitId, by);
    return result;
  }

  async figure(id: string, name: string, form: 'svg' | 'png' | 'csv' | 'json', by: SignedIn) {
    const row = await this.config.database.prisma.analysis.findUnique({
      where: { id },
      select: { set: { select: { unitId: true } }, computation: { select: { figures: true } } },
    });
    if (!row) throw refuse.notFound('analysis');
    const figures = (row.computation.figures ?? []) as unknown as Record<string, string>[];
    const sha256 = figures.find((figure) => figure['name'] === name)?.[form];
    if (sha256 === undefined) throw refuse.notFound('figure');
    await this.#noteOpening(row.set.unitId, by);
    return { sha256, mediaType: figureTypes[form], name: `${name}.${form}`, inline: form !== 'csv' };
  }

  async file(id: string, by: SignedIn): Promise<{ sha256: string; name: string }> {
    const file = await this.config.database.prisma.setFile.findUnique({
      where: { id },
      include: { set: true },
    });
    if (!file) throw refuse.notFound('file');
    // Raw readings are data too, whether or not anything was computed from them yet.
    await noteOpenings(this.config.database, [file.set.unitId], by.id);
    return { sha256: file.sha256, name: file.name };
  }

  async removeFile(id: string, by: SignedIn): Promise<Binned> {
    return change(this.config.database, by, async (made) => {
      const file = await made.tx.setFile.findUnique({
        where: { id },
        include: { set: { include: { unit: true } } },
      });
      if (!file) throw refuse.notFound('file');
      const { unit } = file.set;
      const binned = await putInBin(made, {
        kind: 'file',
        root: { table: 'SetFile', column: 'id', value: id },
        title: file.name,
        within: unit.name,
        loanId: unit.loanId,
        unitId: unit.id,
        told: true,
      });
      await tellSet(
        made,
        unit,
        'file-removed',
        `took ${file.name} out of “${file.set.name}” of ${unit.name}`,
      );
      return binned;
    });
  }

  async #analysisRow(id: string) {
    const row = await this.config.database.prisma.analysis.findUnique({
      where: { id },
      include: { computation: { omit: wholeResult }, set: { include: setInclude } },
    });
    if (!row) throw refuse.notFound('analysis');
    return row;
  }

  /** Who has opened a unit's data, and when first, decides whether a later listening session is blind. */
  async #noteOpening(unitId: string, by: SignedIn): Promise<void> {
    const done = await this.config.database.prisma.analysis.count({
      where: { set: { unitId }, computation: { state: 'done' } },
    });
    if (done === 0) return;
    await this.config.database.prisma.dataOpening.createMany({
      data: [{ unitId, accountId: by.id }],
      skipDuplicates: true,
    });
  }
}

const figureTypes = {
  svg: 'image/svg+xml',
  png: 'image/png',
  csv: 'text/csv; charset=utf-8',
  json: 'application/json',
} as const;

async function tellSet(
  made: Change,
  unit: { id: string; name: string; loanId: string },
  action: string,
  sentence: string,
  reason: string | null = null,
): Promise<void> {
  tellLoan(made, await loanOf(made, unit.loanId), action, sentence, { reason });
  made.publish('team', 'unit-changed', {
    loanId: unit.loanId,
    unitId: unit.id,
    name: unit.name,
    by: made.actor.name,
    sentence,
  });
}
