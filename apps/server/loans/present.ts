/** What is said of loans: every field named, nothing else leaves. */
import type {
  AccessoryView,
  DraftHouseView,
  HistoryView,
  LoanPlanView,
  LoanSummary,
  LoanView,
  MoveOffer,
  OutlineItem,
  ReportView,
  SignOffView,
  UnitView,
  VerdictView,
} from '../../../libs/contracts/index.js';
import { cautionsFor, serialDiffers } from '../../../libs/loan-life/index.js';
import { evidenceSentences, pointsOf } from '../../../libs/drafts/index.js';
import { dayOf, instantOf, type UnitState } from '../../../libs/store/index.js';
import { settledPlan, type TeamPlan } from '../../../libs/plan-keeping/index.js';
import { presentListening, type ListeningRow } from '../listening/listeningRows.js';
import type { LoanRow, LoanSummaryRow } from './loanRows.js';

const unplanned: LoanPlanView = { ...settledPlan, urgency: 'undated', sentence: 'Not planned yet.' };

export function presentSummary(
  loan: LoanSummaryRow,
  states: ReadonlyMap<string, UnitState>,
  plan: TeamPlan,
): LoanSummary {
  return {
    id: loan.id,
    title: loan.title,
    makerId: loan.makerId,
    makerName: loan.maker.name,
    stage: loan.stage,
    requestedOn: dayOf(loan.requestedOn),
    arrivalFrom: dayOf(loan.arrivalFrom),
    arrivalTo: dayOf(loan.arrivalTo),
    arrivedOn: dayOf(loan.arrivedOn),
    embargoUntil: instantOf(loan.embargoUntil),
    returnBy: dayOf(loan.returnBy),
    publishedAt: instantOf(loan.publishedAt),
    publishedUrl: loan.publishedUrl,
    deliveredOn: dayOf(loan.deliveredOn),
    invented: loan.invented,
    units: loan.units.map(({ id, name, kind }) => {
      const state = states.get(id);
      const missing = state?.plan.filter((item) => item.state === 'missing').length ?? 0;
      const blocking = state?.facts.blockingFindings ?? 0;
      return { id, name, kind, missing, blocking, sealedForYou: false };
    }),
    plan: plan.plans.get(loan.id) ?? (loan.stage === 'closed' ? settledPlan : unplanned),
    version: loan.version,
  };
}

export function presentLoan(
  loan: LoanRow,
  states: ReadonlyMap<string, UnitState>,
  plan: TeamPlan,
  moves: MoveOffer[],
  listening: readonly ListeningRow[],
  opened: ReadonlySet<string>,
  house: DraftHouseView,
): LoanView {
  return {
    ...presentSummary(loan, states, plan),
    loanDays: loan.loanDays,
    freightPayer: loan.freightPayer as LoanView['freightPayer'],
    freightDays: loan.freightDays,
    insuredValueMinor: loan.insuredValueMinor,
    currency: loan.currency,
    makerMayComment: loan.makerMayComment,
    makerCommentAgreed: loan.makerCommentAgreed,
    keepUntilPublished: loan.keepUntilPublished,
    termsAgreedAt: instantOf(loan.termsAgreedAt),
    carrier: loan.carrier,
    notes: loan.notes,
    returnCarrier: loan.returnCarrier,
    returnTracking: loan.returnTracking,
    deliveryConfirmedBy: loan.deliveryConfirmedBy,
    deliveryNote: loan.deliveryNote,
    deliveryProofs: loan.deliveryProofs.map(({ id, name, addedByName, createdAt, blob }) => ({
      id,
      name,
      url: `/api/proofs/${id}`,
      isPicture: blob.mediaType.startsWith('image/'),
      addedBy: addedByName,
      addedAt: createdAt.toISOString(),
    })),
    outcome: loan.outcome as LoanView['outcome'],
    unitDetails: loan.units.map((unit) => presentUnit(unit, states.get(unit.id), opened.has(unit.id))),
    accessories: loan.accessories.map(presentAccessory),
    reports: loan.reports.map((report) => presentReport(report, loan.units)),
    verdict: presentVerdict(loan, house),
    listening: listening.map(presentListening),
    moves,
  };
}

export function presentUnit(
  unit: LoanRow['units'][number],
  state: UnitState | undefined,
  dataOpened: boolean,
): UnitView {
  return {
    id: unit.id,
    loanId: unit.loanId,
    name: unit.name,
    kind: unit.kind,
    ways: unit.ways,
    drivers: unit.drivers,
    finish: unit.finish,
    serial: unit.serial,
    massKg: unit.massKg,
    priceMinor: unit.priceMinor,
    currency: unit.currency,
    ratedOhm: unit.ratedOhm,
    ratedPowerW: unit.ratedPowerW,
    ratedSensitivityDb: unit.ratedSensitivityDb,
    symmetricCabinet: unit.symmetricCabinet,
    invented: unit.invented,
    version: unit.version,
    plan: state?.plan ?? [],
    cautions: cautionsFor(unit),
    dataOpened,
    sealedForYou: false,
  };
}

export function presentAccessory(item: LoanRow['accessories'][number]): AccessoryView {
  const {
    id,
    name,
    expectedCount,
    packaging,
    arrivedCount,
    arrivalNote,
    returnedCount,
    returnNote,
    lossToldAt,
    version,
  } = item;
  return {
    id,
    name,
    expectedCount,
    packaging,
    arrivedCount,
    arrivalNote,
    returnedCount,
    returnNote,
    lossToldAt: instantOf(lossToldAt),
    version,
  };
}

export function presentReport(
  report: LoanRow['reports'][number],
  units: readonly { id: string; serial: string }[],
): ReportView {
  return {
    id: report.id,
    moment: report.moment,
    unitId: report.unitId,
    condition: report.condition,
    serialSeen: report.serialSeen,
    damage: report.damage,
    makerToldAt: instantOf(report.makerToldAt),
    signedAt: instantOf(report.signedAt),
    signedByName: report.signedByName,
    photographs: report.photographs.map(({ id, name, caption, version }) => ({
      id,
      name,
      caption,
      url: `/api/photographs/${id}`,
      version,
    })),
    serialDiffers: serialDiffers(report, units),
    version: report.version,
  };
}

export function presentVerdict(
  loan: Pick<LoanRow, 'verdict' | 'signOffs'>,
  house: DraftHouseView,
): VerdictView {
  const version = loan.verdict?.version ?? 0;
  const draftVersion = loan.verdict?.draftVersion ?? 0;
  const points = pointsOf(loan.verdict);
  const own = loan.verdict?.outline as OutlineItem[] | null | undefined;
  return {
    text: loan.verdict?.text ?? '',
    pros: points.pros.map(({ text }) => text),
    cons: points.cons.map((con) => ({ text: con.text, evidence: evidenceSentences(con).join(' ') })),
    points,
    outline: own ?? house.outline,
    ownOutline: Boolean(own),
    wordsPerMinute: house.wordsPerMinute,
    version,
    draftVersion,
    signOffs: loan.signOffs.map((signOff) => ({
      id: signOff.id,
      by: signOff.account.name,
      decision: signOff.decision as SignOffView['decision'],
      note: signOff.note,
      verdictVersion: signOff.verdictVersion,
      draftVersion: signOff.draftVersion,
      stands: signOff.verdictVersion === version && signOff.draftVersion === draftVersion,
      at: signOff.createdAt.toISOString(),
    })),
    sealedForYou: false,
  };
}

export interface HistoryRow {
  id: string;
  number: bigint | null;
  at: Date;
  actorName: string;
  action: string;
  subject: string;
  subjectId: string;
  sentence: string;
  reason: string | null;
  loanId: string | null;
  contentHash: string | null;
  hash: string | null;
}

/** Newest first. A folder put into a set file by file is one line, not seventy; its number is that of the oldest. */
export function presentHistory(
  rows: readonly HistoryRow[],
  titles: ReadonlyMap<string, string> = new Map(),
): HistoryView[] {
  const lines: { row: HistoryRow; oldest: HistoryRow; count: number }[] = [];
  for (const row of rows) {
    const last = lines.at(-1);
    const same = last && row.action === 'file-kept' && last.row.action === 'file-kept';
    if (same && row.subjectId === last.row.subjectId && row.actorName === last.row.actorName) {
      last.count++;
      last.oldest = row;
    } else lines.push({ row, oldest: row, count: 1 });
  }
  return lines.map(({ row, oldest, count }) => ({
    id: row.id,
    number: Number(oldest.number),
    at: row.at.toISOString(),
    by: row.actorName,
    action: row.action,
    sentence: count === 1 ? row.sentence : `${row.sentence} and ${count - 1} more`,
    reason: row.reason,
    loanId: row.loanId,
    loanTitle: (row.loanId === null ? undefined : titles.get(row.loanId)) ?? null,
  }));
}
