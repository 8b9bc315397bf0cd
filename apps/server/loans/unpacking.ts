/** The unpacking table: accessories counted, condition recorded, photographed and signed, on the way in and out. */
import { Inject, Injectable } from '@nestjs/common';
import type { z } from 'zod';
import type {
  AccessoryView,
  AddAccessory,
  AddReport,
  ChangeAccessory,
  ChangeReport,
  ReportView,
  SignReport,
} from '../../../libs/contracts/index.js';
import { change, differences, writeVersion, type Change } from '../../../libs/store/index.js';
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
    const { version, ...fields } = ask;
    return change(this.config.database, by, async (made) => {
      const { before, after } = await writeVersion<AccessoryRow>(made.tx.accessory, id, version, fields);
      const loan = await loanOf(made, after.loanId);
      tellLoan(made, loan, 'accessory-counted', accessorySentence(after, ask), differences(before, after));
      return presentAccessory(after);
    });
  }

  async addReport(loanId: string, ask: z.output<typeof AddReport>, by: SignedIn): Promise<ReportView> {
    const id = await change(this.config.database, by, async (made) => {
      const loan = await made.tx.loan.findUnique({ where: { id: loanId }, include: { units: true } });
      if (!loan) throw refuse.notFound('loan');
      if (ask.unitId !== null && !loan.units.some((unit) => unit.id === ask.unitId))
        throw refuse.notFound('unit');
      const report = await made.tx.conditionReport.create({ data: { ...ask, loanId } });
      tellLoan(made, loan, 'condition-recorded', `recorded the condition on ${ask.moment}`);
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
      include: { photographs: { orderBy: { createdAt: 'asc' } } },
    });
    if (!report) throw refuse.notFound('condition report');
    return presentReport(report);
  }
}

function accessorySentence(item: AccessoryRow, ask: z.output<typeof ChangeAccessory>): string {
  if (ask.arrivedCount !== undefined)
    return `counted ${item.arrivedCount ?? 'no'} of ${item.expectedCount} × ${item.name} on arrival`;
  if (ask.returnedCount !== undefined) return `packed ${item.returnedCount ?? 'no'} × ${item.name}`;
  return `changed the accessory ${item.name}`;
}
