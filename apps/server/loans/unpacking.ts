/** The unpacking table: accessories counted, condition recorded, photographed and signed, on the way in and out. */
import { Inject, Injectable } from '@nestjs/common';
import type { z } from 'zod';
import type {
  AccessoryView,
  AddAccessory,
  AddReport,
  Binned,
  ChangeAccessory,
  ChangePhotograph,
  ChangeReport,
  RemoveAccessory,
  ReportView,
  SignReport,
} from '../../../libs/contracts/index.js';
import {
  change,
  differences,
  putInBin,
  StaleVersion,
  writeVersion,
  type Change,
} from '../../../libs/store/index.js';
import { serialDiffers } from '../../../libs/loan-life/index.js';
import type { SignedIn } from '../access/sessions.js';
import { refuse } from '../http/refusals.js';
import { CONFIG, type ServerConfig } from '../serverConfig.js';
import { presentAccessory, presentReport } from './present.js';
import { loanOf, tellLoan } from './tellLoan.js';

type AccessoryRow = Parameters<typeof presentAccessory>[0];
interface ReportRow {
  loanId: string;
  moment: 'arrival' | 'return';
}

@Injectable()
export class Unpacking {
  constructor(@Inject(CONFIG) private readonly config: ServerConfig) {}

  async addAccessory(
    loanId: string,
    ask: z.output<typeof AddAccessory>,
    by: SignedIn,
  ): Promise<AccessoryView> {
    return change(this.config.database, by, async (made) => {
      const position = await made.tx.accessory.count({ where: { loanId } });
      const loan = await made.tx.loan.findUnique({ where: { id: loanId } });
      if (!loan) throw refuse.notFound('loan');
      const item = await made.tx.accessory.create({ data: { ...ask, loanId, position } });
      tellLoan(made, loan, 'accessory-added', `listed ${ask.expectedCount} × ${ask.name}`);
      return presentAccessory(item);
    });
  }

  async changeAccessory(
    id: string,
    ask: z.output<typeof ChangeAccessory>,
    by: SignedIn,
  ): Promise<AccessoryView> {
    const { version, lossTold, ...fields } = ask;
    const told = lossTold === undefined ? {} : { lossToldAt: lossTold ? new Date() : null };
    return change(this.config.database, by, async (made) => {
      const { before, after } = await writeVersion<AccessoryRow>(made.tx.accessory, id, version, {
        ...fields,
        ...told,
      });
      const loan = await loanOf(made, after.loanId);
      tellLoan(made, loan, 'accessory-counted', accessorySentence(after, ask), differences(before, after));
      return presentAccessory(after);
    });
  }

  /** Struck off the list; what it was and why stands in the history. */
  async removeAccessory(id: string, ask: z.output<typeof RemoveAccessory>, by: SignedIn): Promise<Binned> {
    return change(this.config.database, by, async (made) => {
      const item = await made.tx.accessory.findUnique({ where: { id } });
      if (!item) throw refuse.notFound('accessory');
      if (item.version !== ask.version) throw new StaleVersion(presentAccessory(item));
      const { name: title, loanId, version } = item;
      const loan = await loanOf(made, loanId);
      const root = { table: 'Accessory', column: 'id', value: id } as const;
      const binned = await putInBin(made, {
        kind: 'accessory',
        root,
        title,
        within: loan.title,
        loanId,
        version,
        told: true,
      });
      tellLoan(made, loan, 'accessory-removed', `struck ${item.expectedCount} × ${item.name} off the list`, {
        before: presentAccessory(item),
        reason: ask.why,
      });
      return binned;
    });
  }

  async changePhotograph(
    id: string,
    ask: z.output<typeof ChangePhotograph>,
    by: SignedIn,
  ): Promise<ReportView> {
    const { version, ...fields } = ask;
    const reportId = await change(this.config.database, by, async (made) => {
      const found = await made.tx.photograph.findUnique({ where: { id }, include: { report: true } });
      if (!found) throw refuse.notFound('photograph');
      if (found.report.signedAt !== null) {
        throw refuse.wrong(
          'signed',
          'This report is signed; its pictures and their captions stand as they are.',
          'Add another report for what was found later.',
        );
      }
      const { before, after } = await writeVersion<{ caption: string }>(
        made.tx.photograph,
        id,
        version,
        fields,
      );
      tellLoan(
        made,
        await loanOf(made, found.report.loanId),
        'photograph-captioned',
        `captioned a photograph: ${after.caption || 'nothing'}`,
        { before: { caption: before.caption }, after: { caption: after.caption } },
      );
      return found.reportId;
    });
    return this.#report(reportId);
  }

  async addReport(loanId: string, ask: z.output<typeof AddReport>, by: SignedIn): Promise<ReportView> {
    const id = await change(this.config.database, by, async (made) => {
      const loan = await made.tx.loan.findUnique({ where: { id: loanId }, include: { units: true } });
      if (!loan) throw refuse.notFound('loan');
      if (ask.unitId !== null && !loan.units.some((unit) => unit.id === ask.unitId))
        throw refuse.notFound('unit');
      const report = await made.tx.conditionReport.create({ data: { ...ask, loanId } });
      tellLoan(
        made,
        loan,
        'condition-recorded',
        `recorded the condition on ${ask.moment}${serialDiffers(ask, loan.units) ? ': another serial number than was noted' : ''}`,
      );
      return report.id;
    });
    return this.#report(id);
  }

  async changeReport(id: string, ask: z.output<typeof ChangeReport>, by: SignedIn): Promise<ReportView> {
    const { version, makerTold, ...fields } = ask;
    await change(this.config.database, by, async (made) => {
      const report = await made.tx.conditionReport.findUnique({ where: { id } });
      if (!report) throw refuse.notFound('condition report');
      // Telling the maker may come after signing; the words themselves are fixed by the signature.
      if (report.signedAt !== null && Object.keys(fields).length > 0) {
        throw refuse.wrong(
          'signed',
          'This report is signed.',
          'Add another report for what was found later.',
        );
      }
      const told = makerTold === undefined ? {} : { makerToldAt: makerTold ? new Date() : null };
      const { before, after } = await writeVersion<ReportRow>(made.tx.conditionReport, id, version, {
        ...fields,
        ...told,
      });
      const sentence = makerTold
        ? 'told the maker what is missing or damaged'
        : `changed the condition on ${after.moment}`;
      tellLoan(
        made,
        await loanOf(made, after.loanId),
        'condition-changed',
        sentence,
        differences(before, after),
      );
    });
    return this.#report(id);
  }

  async signReport(id: string, ask: z.output<typeof SignReport>, by: SignedIn): Promise<ReportView> {
    await change(this.config.database, by, async (made) => {
      const report = await made.tx.conditionReport.findUnique({ where: { id } });
      if (!report) throw refuse.notFound('condition report');
      if (report.signedAt !== null)
        throw refuse.wrong('signed', `Already signed by ${report.signedByName ?? 'somebody'}.`);
      const signature = { signedAt: new Date(), signedBy: by.id, signedByName: by.name };
      await writeVersion(made.tx.conditionReport, id, ask.version, signature);
      tellLoan(
        made,
        await loanOf(made, report.loanId),
        'condition-signed',
        `signed the condition on ${report.moment}`,
      );
    });
    return this.#report(id);
  }

  /** A picture that was uploaded for a report. */
  async addPhotograph(
    made: Change,
    reportId: string,
    photograph: { sha256: string; name: string },
    by: SignedIn,
  ): Promise<void> {
    const report = await made.tx.conditionReport.findUnique({ where: { id: reportId } });
    if (!report) throw refuse.notFound('condition report');
    if (report.signedAt !== null)
      throw refuse.wrong('signed', 'This report is signed; add another for further pictures.');
    await made.tx.photograph.create({ data: { ...photograph, reportId, takenBy: by.id } });
    tellLoan(
      made,
      await loanOf(made, report.loanId),
      'photograph-added',
      `added a photograph to the condition on ${report.moment}`,
    );
  }

  async photograph(id: string): Promise<{ sha256: string; mediaType: string; name: string }> {
    const found = await this.config.database.prisma.photograph.findUnique({
      where: { id },
      include: { blob: true },
    });
    if (!found) throw refuse.notFound('photograph');
    return { sha256: found.sha256, mediaType: found.blob.mediaType, name: found.name };
  }

  async #report(id: string): Promise<ReportView> {
    const report = await this.config.database.prisma.conditionReport.findUnique({
      where: { id },
      include: {
        photographs: { orderBy: { createdAt: 'asc' } },
        loan: { select: { units: { select: { id: true, serial: true } } } },
      },
    });
    if (!report) throw refuse.notFound('condition report');
    return presentReport(report, report.loan.units);
  }
}

function accessorySentence(item: AccessoryRow, ask: z.output<typeof ChangeAccessory>): string {
  if (ask.arrivedCount !== undefined)
    return `counted ${item.arrivedCount ?? 'no'} of ${item.expectedCount} × ${item.name} on arrival`;
  if (ask.lossTold !== undefined) {
    return ask.lossTold
      ? `told the maker that ${item.name} does not come back: ${item.returnNote || 'no note yet'}`
      : `took back that the maker was told of ${item.name}`;
  }
  if (ask.returnedCount !== undefined) return `packed ${item.returnedCount ?? 'no'} × ${item.name}`;
  return `changed the accessory ${item.name}`;
}
