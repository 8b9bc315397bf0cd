/** One loan of the demo, with everything that belongs to it, as rows. */
import type { KeptBlob } from '../../../libs/blobs/blobStore.js';
import { measurementPlanFor } from '../../../libs/loan-life/index.js';
import { stageWords } from '../../../libs/contracts/index.js';
import { hashOfText, json, sealedTextOf, toDay, type Change } from '../../../libs/store/index.js';
import type { DemoListening, DemoLoan, DemoReport, DemoUnit, PersonId } from '../../../seed/scenario.js';

/** The demo's people by their short names. */
export type PeopleIds = ReadonlyMap<PersonId, { readonly id: string; readonly name: string }>;

export interface KeptParts {
  /** By `design/set`. */
  readonly files: ReadonlyMap<string, readonly { readonly name: string; readonly blob: KeptBlob }[]>;
  /** By the subject drawn. */
  readonly photographs: ReadonlyMap<string, KeptBlob>;
}

export async function addLoan(
  made: Change,
  loan: DemoLoan,
  makerId: string,
  people: PeopleIds,
  parts: KeptParts,
): Promise<{ setIds: string[] }> {
  await keepBlobRows(made, parts);
  const row = await made.tx.loan.create({ data: { ...loanColumns(loan), makerId } });
  const unitIds = new Map<string, string>();
  const setIds: string[] = [];
  for (const unit of loan.units) {
    const added = await addUnit(made, row.id, unit, people, parts);
    unitIds.set(unit.id, added.unitId);
    setIds.push(...added.setIds);
  }
  await made.tx.accessory.createMany({
    data: loan.accessories.map((item, position) => ({ ...item, loanId: row.id, position })),
  });
  for (const report of loan.reports) await addReport(made, row.id, report, unitIds, people, parts);
  for (const session of loan.listening) await addListening(made, session, unitIds, people);
  await addVerdict(made, row.id, loan, people);
  addHistory(made, row.id, loan, people);
  made.publish('team', 'loan-changed', {
    loanId: row.id,
    title: row.title,
    stage: row.stage,
    by: made.actor.name,
    sentence: `loaded the invented loan “${row.title}”`,
  });
  return { setIds };
}

function loanColumns(loan: DemoLoan) {
  const moved = (stage: string) => loan.moves.find(({ to }) => to === stage)?.at;
  const at = (instant: string | undefined | null) => (instant ? new Date(instant) : null);
  return {
    title: loan.title,
    stage: loan.stage,
    requestedOn: toDay(loan.requestedOn),
    arrivalFrom: toDay(loan.arrivalFrom),
    arrivalTo: toDay(loan.arrivalTo),
    arrivedOn: toDay(loan.arrivedOn),
    returnBy: toDay(loan.returnBy),
    loanDays: loan.loanDays,
    embargoUntil: at(loan.embargoUntil),
    freightPayer: loan.freightPayer,
    freightDays: loan.freightDays,
    insuredValueMinor: loan.insuredValueMinor,
    currency: loan.currency,
    makerMayComment: loan.makerMayComment,
    makerCommentAgreed: loan.makerCommentAgreed,
    keepUntilPublished: loan.keepUntilPublished,
    termsAgreedAt: at(moved('agreed')),
    carrier: loan.carrier,
    notes: loan.notes,
    publishedUrl: loan.publishedUrl,
    publishedAt: at(moved('published')),
    returnCarrier: loan.returnCarrier,
    returnTracking: loan.returnTracking,
    deliveredOn: toDay(loan.deliveredOn),
    deliveryConfirmedBy: loan.deliveryConfirmedBy,
    outcome: loan.outcome,
    invented: true,
  };
}

async function keepBlobRows(made: Change, parts: KeptParts): Promise<void> {
  const row = ({ sha256, bytes }: KeptBlob, mediaType: string) => ({
    sha256,
    bytes: BigInt(bytes),
    mediaType,
  });
  const files = [...parts.files.values()].flat().map(({ blob }) => row(blob, 'application/octet-stream'));
  const photographs = [...parts.photographs.values()].map((blob) => row(blob, 'image/png'));
  await made.tx.blob.createMany({ data: [...files, ...photographs], skipDuplicates: true });
}

async function addUnit(made: Change, loanId: string, unit: DemoUnit, people: PeopleIds, parts: KeptParts) {
  const { id: _id, sets, planted: _planted, ...fields } = unit;
  const plan = measurementPlanFor(unit.kind).map((item, position) => ({ ...item, position }));
  const row = await made.tx.unit.create({
    data: { ...fields, loanId, invented: true, plan: { create: plan } },
  });
  const setIds: string[] = [];
  for (const set of sets) {
    const by = people.get(set.by)?.id ?? null;
    const files = parts.files.get(`${set.designId}/${set.name}`) ?? [];
    const createdAt = new Date(set.takenAt);
    const added = await made.tx.measurementSet.create({
      data: {
        unitId: row.id,
        name: set.name,
        invented: true,
        createdBy: by,
        createdAt,
        files: {
          createMany: {
            data: files.map(({ name, blob }) => ({ name, sha256: blob.sha256, uploadedBy: by, createdAt })),
          },
        },
      },
    });
    setIds.push(added.id);
  }
  return { unitId: row.id, setIds };
}

async function addReport(
  made: Change,
  loanId: string,
  report: DemoReport,
  unitIds: ReadonlyMap<string, string>,
  people: PeopleIds,
  parts: KeptParts,
): Promise<void> {
  const by = people.get(report.by);
  const signedAt = report.signedAt ? new Date(report.signedAt) : null;
  await made.tx.conditionReport.create({
    data: {
      loanId,
      unitId: report.unitId === null ? null : (unitIds.get(report.unitId) ?? null),
      moment: report.moment,
      condition: report.condition,
      serialSeen: report.serialSeen,
      damage: report.damage,
      makerToldAt: report.makerToldAt ? new Date(report.makerToldAt) : null,
      signedAt,
      signedBy: signedAt ? (by?.id ?? null) : null,
      signedByName: signedAt ? (by?.name ?? null) : null,
      createdAt: new Date(report.at),
      photographs: {
        createMany: {
          data: report.photographs.flatMap(({ name, caption, subject }) => {
            const blob = parts.photographs.get(JSON.stringify(subject));
            return blob ? [{ name, caption, sha256: blob.sha256, takenBy: by?.id ?? null }] : [];
          }),
        },
      },
    },
  });
}

const SESSION_MS = 2 * 3600_000;

async function addListening(
  made: Change,
  session: DemoListening,
  unitIds: ReadonlyMap<string, string>,
  people: PeopleIds,
): Promise<void> {
  const { by, unitId, heardOn, remarks, ...fields } = session;
  const sealedAt = session.sealedAt ? new Date(session.sealedAt) : null;
  const { unit, ...row } = await made.tx.listeningSession.create({
    data: {
      ...fields,
      unitId: unitIds.get(unitId) ?? '',
      listenerId: people.get(by)?.id ?? '',
      heardOn: toDay(heardOn),
      remarks: json(remarks),
      begunAt: new Date(sealedAt ? sealedAt.getTime() - SESSION_MS : `${heardOn}T18:00:00Z`),
      begunBlind: true,
      sealedAt,
      blind: sealedAt !== null,
    },
    include: { unit: { select: { name: true } } },
  });
  if (!sealedAt) return;
  const facts = { listenerName: people.get(by)?.name ?? '', unitName: unit.name, blind: true, sealedAt };
  const sealedText = sealedTextOf(row, facts);
  await made.tx.listeningSession.update({
    where: { id: row.id },
    data: { sealedText, sealHash: hashOfText(sealedText) },
  });
}

async function addVerdict(
  made: Change,
  loanId: string,
  { verdict }: DemoLoan,
  people: PeopleIds,
): Promise<void> {
  if (!verdict) return;
  const { text, pros, cons, signOffs } = verdict;
  await made.tx.verdict.create({ data: { loanId, text, pros: json(pros), cons: json(cons) } });
  await made.tx.signOff.createMany({
    data: signOffs.map(({ by, decision, note, at }) => ({
      loanId,
      accountId: people.get(by)?.id ?? '',
      verdictVersion: 1,
      decision,
      note,
      createdAt: new Date(at),
    })),
  });
}

function addHistory(made: Change, loanId: string, loan: DemoLoan, people: PeopleIds): void {
  for (const [index, { to, at, by, why }] of loan.moves.entries()) {
    made.record({
      earlier: {
        at: new Date(at),
        by: { id: people.get(by)?.id ?? null, name: people.get(by)?.name ?? '' },
      },
      action: index === 0 ? 'loan-added' : 'loan-moved',
      loanId,
      subject: 'loan',
      subjectId: loanId,
      sentence:
        index === 0 ? `asked for “${loan.title}”` : `moved the loan to ${stageWords[to].toLowerCase()}`,
      reason: why || null,
    });
  }
}
