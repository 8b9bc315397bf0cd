/** Units: what they are, what is to be measured of them. */
import { Inject, Injectable } from '@nestjs/common';
import type { z } from 'zod';
import type { AddUnit, ChangeUnit, UnitView, WaiveDataSet } from '../../../libs/contracts/index.js';
import { measurementPlanFor } from '../../../libs/loan-life/index.js';
import {
  change,
  differences,
  sealedFrom,
  unitStates,
  writeVersion,
  type Change,
} from '../../../libs/store/index.js';
import type { SignedIn } from '../access/sessions.js';
import { refuse } from '../http/refusals.js';
import { CONFIG, type ServerConfig } from '../serverConfig.js';
import { hideInUnit } from '../listening/hideResults.js';
import { openedUnits } from './loanRows.js';
import { presentUnit } from './present.js';
import { loanOf, tellLoan } from './tellLoan.js';

type UnitRow = Parameters<typeof presentUnit>[0];

@Injectable()
export class Units {
  constructor(@Inject(CONFIG) private readonly config: ServerConfig) {}

  async one(id: string, by: SignedIn): Promise<UnitView> {
    const { prisma } = this.config.database;
    const unit = await prisma.unit.findUnique({ where: { id } });
    if (!unit) throw refuse.notFound('unit');
    const opened = await openedUnits(prisma, by.id, { id });
    const view = presentUnit(unit, (await unitStates(prisma, { unitIds: [id] })).get(id), opened.has(id));
    return hideInUnit(view, await sealedFrom(prisma, by.id));
  }

  async add(loanId: string, ask: z.output<typeof AddUnit>, by: SignedIn): Promise<UnitView> {
    const id = await change(this.config.database, by, async (made) => {
      const loan = await made.tx.loan.findUnique({ where: { id: loanId } });
      if (!loan) throw refuse.notFound('loan');
      const plan = measurementPlanFor(ask.kind).map((item, position) => ({ ...item, position }));
      const unit = await made.tx.unit.create({ data: { ...ask, loanId, plan: { create: plan } } });
      tellLoan(made, loan, 'unit-added', `added the unit ${ask.name}`);
      return unit.id;
    });
    return this.one(id, by);
  }

  async change(id: string, ask: z.output<typeof ChangeUnit>, by: SignedIn): Promise<UnitView> {
    const { version, ...fields } = ask;
    await change(this.config.database, by, async (made) => {
      const { before, after } = await writeVersion<UnitRow>(made.tx.unit, id, version, fields);
      if (before.kind !== after.kind) await this.#replan(made, after);
      const difference = differences(before, after);
      const sentence = `changed ${after.name}: ${Object.keys(difference.after).join(', ') || 'nothing'}`;
      tellLoan(made, await loanOf(made, after.loanId), 'unit-changed', sentence, difference);
      tellUnit(made, after, sentence);
    });
    return this.one(id, by);
  }

  async waive(
    unitId: string,
    code: string,
    ask: z.output<typeof WaiveDataSet>,
    by: SignedIn,
  ): Promise<UnitView> {
    await change(this.config.database, by, async (made) => {
      const item = await made.tx.plannedDataSet.findUnique({
        where: { unitId_code: { unitId, code } },
        include: { unit: true },
      });
      if (!item) throw refuse.notFound('planned data set');
      await writeVersion(made.tx.plannedDataSet, item.id, ask.version, { waivedWhy: ask.why });
      const sentence =
        ask.why === null ? `asks for “${item.title}” again` : `waived “${item.title}” of ${item.unit.name}`;
      tellLoan(made, await loanOf(made, item.unit.loanId), 'data-set-waived', sentence, { reason: ask.why });
      tellUnit(made, item.unit, sentence);
    });
    return this.one(unitId, by);
  }

  /** Another kind asks for other data: what was waived or planned for both kinds stays. */
  async #replan(made: Change, unit: UnitRow): Promise<void> {
    const wanted = measurementPlanFor(unit.kind);
    await made.tx.plannedDataSet.deleteMany({
      where: { unitId: unit.id, code: { notIn: wanted.map(({ code }) => code) } },
    });
    await made.tx.plannedDataSet.createMany({
      data: wanted.map((item, position) => ({ ...item, position, unitId: unit.id })),
      skipDuplicates: true,
    });
  }
}

function tellUnit(made: Change, unit: { id: string; name: string; loanId: string }, sentence: string): void {
  made.publish('team', 'unit-changed', {
    loanId: unit.loanId,
    unitId: unit.id,
    name: unit.name,
    by: made.actor.name,
    sentence,
  });
}
