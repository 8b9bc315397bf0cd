/** Deleting what people made: each with the words it is known by in the bin. What a review rests on stays. */
import { Inject, Injectable } from '@nestjs/common';
import type { Binned } from '../../../libs/contracts/index.js';
import { archiveUnits, change, putInBin, type Change } from '../../../libs/store/index.js';
import type { SignedIn } from '../access/sessions.js';
import { refuse } from '../http/refusals.js';
import { loanOf, tellLoan } from '../loans/tellLoan.js';
import { CONFIG, type ServerConfig } from '../serverConfig.js';

const row = (table: string, value: string) => ({ table, column: 'id' as const, value });

@Injectable()
export class Deletions {
  constructor(@Inject(CONFIG) private readonly config: ServerConfig) {}

  maker(id: string, version: number, by: SignedIn): Promise<Binned> {
    return this.#change(by, async (made) => {
      const maker = await made.tx.maker.findUnique({ where: { id } });
      if (!maker) throw refuse.notFound('maker');
      const binned = await putInBin(made, {
        kind: 'maker',
        root: row('Maker', id),
        title: maker.name,
        version,
      });
      made.publish('team', 'maker-changed', {
        makerId: id,
        name: maker.name,
        by: by.name,
        sentence: `${maker.name} was deleted`,
      });
      return binned;
    });
  }

  loan(id: string, version: number, by: SignedIn): Promise<Binned> {
    return this.#change(by, async (made) => {
      const loan = await made.tx.loan.findUnique({ where: { id }, include: { maker: true } });
      if (!loan) throw refuse.notFound('loan');
      const within = loan.maker.name;
      const root = row('Loan', id);
      const binned = await putInBin(made, {
        kind: 'loan',
        root,
        title: loan.title,
        within,
        loanId: id,
        version,
      });
      const sentence = 'deleted the loan';
      made.publish('team', 'loan-changed', {
        loanId: id,
        title: loan.title,
        stage: loan.stage,
        by: by.name,
        sentence,
      });
      return binned;
    });
  }

  unit(id: string, version: number, by: SignedIn): Promise<Binned> {
    return this.#change(by, async (made) => {
      const unit = await made.tx.unit.findUnique({ where: { id }, include: { loan: true } });
      if (!unit) throw refuse.notFound('unit');
      const { loanId } = unit;
      const within = unit.loan.title;
      const root = row('Unit', id);
      return putInBin(made, { kind: 'unit', root, title: unit.name, within, loanId, unitId: id, version });
    });
  }

  set(id: string, version: number, by: SignedIn): Promise<Binned> {
    return this.#change(by, async (made) => {
      const set = await made.tx.measurementSet.findUnique({ where: { id }, include: { unit: true } });
      if (!set) throw refuse.notFound('measurement set');
      const { name: within, loanId, id: unitId } = set.unit;
      const root = row('MeasurementSet', id);
      const binned = await putInBin(made, {
        kind: 'set',
        root,
        title: set.name,
        within,
        loanId,
        unitId,
        version,
      });
      await archiveUnits(made, [unitId]);
      return binned;
    });
  }

  /** A signed report stands as it was signed. */
  report(id: string, version: number, by: SignedIn): Promise<Binned> {
    return this.#change(by, async (made) => {
      const report = await made.tx.conditionReport.findUnique({ where: { id }, include: { loan: true } });
      if (!report) throw refuse.notFound('condition report');
      if (report.signedAt !== null) throw signed();
      const title = report.moment === 'arrival' ? 'on arrival' : 'on return';
      const { loanId } = report;
      const within = report.loan.title;
      const root = row('ConditionReport', id);
      const binned = await putInBin(made, {
        kind: 'report',
        root,
        title,
        within,
        loanId,
        version,
        told: true,
      });
      await this.#tellLoan(made, loanId, 'report-deleted', `deleted the condition report ${title}`);
      return binned;
    });
  }

  photograph(id: string, version: number, by: SignedIn): Promise<Binned> {
    return this.#change(by, async (made) => {
      const found = await made.tx.photograph.findUnique({
        where: { id },
        include: { report: { include: { loan: true } } },
      });
      if (!found) throw refuse.notFound('photograph');
      if (found.report.signedAt !== null) throw signed();
      const { id: loanId, title: within } = found.report.loan;
      const title = found.caption || found.name;
      const root = row('Photograph', id);
      return putInBin(made, { kind: 'photograph', root, title, within, loanId, version });
    });
  }

  /** One's own; what is sealed stays where the seal can be checked, once the review is out. */
  listening(id: string, version: number, by: SignedIn): Promise<Binned> {
    return this.#change(by, async (made) => {
      const session = await made.tx.listeningSession.findUnique({
        where: { id },
        include: { unit: true, listener: true },
      });
      if (!session) throw refuse.notFound('listening session');
      if (session.listenerId !== by.id) throw refuse.forbidden('Only whoever listened deletes a session.');
      const { loanId, id: unitId, name: within } = session.unit;
      const title = `by ${session.listener.name}, ${session.heardOn.toISOString().slice(0, 10)}`;
      const root = row('ListeningSession', id);
      return putInBin(made, { kind: 'listening', root, title, within, loanId, unitId, version });
    });
  }

  /** One's own, with the answers to it. */
  comment(loanId: string, id: string, version: number, by: SignedIn): Promise<Binned> {
    return this.#change(by, async (made) => {
      const comment = await made.tx.draftComment.findUnique({ where: { id }, include: { loan: true } });
      if (comment?.loanId !== loanId) throw refuse.notFound('comment');
      if (comment.authorId !== by.id) throw refuse.forbidden('Only its author deletes a comment.');
      const title = `“${comment.body.length > 60 ? `${comment.body.slice(0, 57)}…` : comment.body}”`;
      const { title: within } = comment.loan;
      const root = row('DraftComment', id);
      const binned = await putInBin(made, { kind: 'comment', root, title, within, loanId, version });
      const sentence = 'deleted a comment on the draft';
      made.publish('team', 'comments-changed', { loanId, title: within, by: by.name, byId: by.id, sentence });
      return binned;
    });
  }

  #change(by: SignedIn, work: (made: Change) => Promise<Binned>): Promise<Binned> {
    return change(this.config.database, by, work);
  }

  async #tellLoan(made: Change, loanId: string, action: string, sentence: string): Promise<void> {
    tellLoan(made, await loanOf(made, loanId), action, sentence);
  }
}

const signed = () =>
  refuse.wrong(
    'signed',
    'This report is signed: it stands as it is, with its pictures.',
    'Add another report for what was found later.',
  );
