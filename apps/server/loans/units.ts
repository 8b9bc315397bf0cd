/** Units: what they are, what is to be measured of them, how they were heard. */
import { createHash } from 'node:crypto';
import { Inject, Injectable } from '@nestjs/common';
import type { z } from 'zod';
import type {
  AddListening,
  AddUnit,
  ChangeListening,
  ChangeUnit,
  ListeningView,
  SealListening,
  UnitView,
  WaiveDataSet,
} from '../../../libs/contracts/index.js';
import { measurementPlanFor } from '../../../libs/loan-life/index.js';
import {
  change,
  differences,
  json,
  toDay,
  unitStates,
  writeVersion,
  StaleVersion,
  type Change,
} from '../../../libs/store/index.js';
import type { SignedIn } from '../access/sessions.js';
import { refuse } from '../http/refusals.js';
import { CONFIG, type ServerConfig } from '../serverConfig.js';
import { loadListening, openedUnits } from './loanRows.js';
import { presentListening, presentUnit } from './present.js';
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
    return presentUnit(unit, (await unitStates(prisma, { id })).get(id), opened.has(id));
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

  async addListening(
    unitId: string,
    ask: z.output<typeof AddListening>,
    by: SignedIn,
  ): Promise<ListeningView> {
    const id = await change(this.config.database, by, async (made) => {
      const unit = await made.tx.unit.findUnique({ where: { id: unitId } });
      if (!unit) throw refuse.notFound('unit');
      const { heardOn, remarks, ...fields } = ask;
      const session = await made.tx.listeningSession.create({
        data: { ...fields, heardOn: toDay(heardOn), remarks: json(remarks), unitId, listenerId: by.id },
      });
      await this.#tellListening(made, unit, 'listening-begun', `began a listening session on ${unit.name}`);
      return session.id;
    });
    return this.#listening(id);
  }

  async changeListening(
    id: string,
    ask: z.output<typeof ChangeListening>,
    by: SignedIn,
  ): Promise<ListeningView> {
    await change(this.config.database, by, async (made) => {
      const session = await this.#ownOpenSession(made, id, by);
      const { version, heardOn, ...fields } = ask;
      const data = { ...fields, ...(heardOn === undefined ? {} : { heardOn: toDay(heardOn) }) };
      await writeVersion(made.tx.listeningSession, id, version, data);
      await this.#tellListening(
        made,
        session.unit,
        'listening-changed',
        `wrote down remarks on ${session.unit.name}`,
      );
    });
    return this.#listening(id);
  }

  /** Hashes what was written, with its time. Blind when its author had not opened the unit's data before. */
  async sealListening(id: string, ask: z.output<typeof SealListening>, by: SignedIn): Promise<ListeningView> {
    await change(this.config.database, by, async (made) => {
      const session = await this.#ownOpenSession(made, id, by);
      if (session.version !== ask.version) throw new StaleVersion(session);
      const opened = await made.tx.dataOpening.findUnique({
        where: { unitId_accountId: { unitId: session.unitId, accountId: by.id } },
      });
      const sealedAt = new Date();
      const { heardOn, placement, levelDb, remarks, listenerId, unitId } = session;
      const sealed = JSON.stringify({ unitId, listenerId, heardOn, placement, levelDb, remarks, sealedAt });
      const sealHash = createHash('sha256').update(sealed).digest('hex');
      await writeVersion(made.tx.listeningSession, id, ask.version, {
        sealedAt,
        sealHash,
        blind: opened === null,
      });
      const how = opened === null ? 'blind' : 'after opening the data';
      await this.#tellListening(
        made,
        session.unit,
        'listening-sealed',
        `sealed a listening session on ${session.unit.name} (${how})`,
      );
    });
    return this.#listening(id);
  }

  async #listening(id: string): Promise<ListeningView> {
    const [session] = await loadListening(this.config.database.prisma, { id });
    if (!session) throw refuse.notFound('listening session');
    return presentListening(session);
  }

  async #ownOpenSession(made: Change, id: string, by: SignedIn) {
    const session = await made.tx.listeningSession.findUnique({ where: { id }, include: { unit: true } });
    if (!session) throw refuse.notFound('listening session');
    if (session.listenerId !== by.id)
      throw refuse.forbidden('Only the listener writes in their own session.');
    if (session.sealedAt !== null)
      throw refuse.wrong('sealed', 'This session is sealed.', 'Begin another session for what you add.');
    return session;
  }

  async #tellListening(
    made: Change,
    unit: { id: string; name: string; loanId: string },
    action: string,
    sentence: string,
  ): Promise<void> {
    tellLoan(made, await loanOf(made, unit.loanId), action, sentence);
    tellUnit(made, unit, sentence);
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
