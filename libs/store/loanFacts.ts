/** Everything the stage machine wants to know of one loan, from the database. */
import { evidenceSentences, pointsOf } from '../drafts/index.js';
import type { LoanFacts } from '../loan-life/index.js';
import type { Tx } from './database.js';
import { dayOf, instantOf } from './dates.js';
import { unitStates } from './unitProgress.js';
import { NotFound } from './versioned.js';

export async function loanFacts(tx: Tx, loanId: string, now: Date): Promise<LoanFacts> {
  const loan = await tx.loan.findUnique({
    where: { id: loanId },
    include: {
      accessories: true,
      reports: true,
      deliveryProofs: { select: { id: true } },
      verdict: true,
      signOffs: { orderBy: { createdAt: 'asc' } },
      previews: { where: { kind: 'maker' } },
    },
  });
  if (!loan) throw new NotFound('That loan is not there (any more).');
  const states = await unitStates(tx, { loanIds: [loanId] });
  return {
    stage: loan.stage,
    now,
    arrivalFrom: dayOf(loan.arrivalFrom),
    arrivalTo: dayOf(loan.arrivalTo),
    arrivedOn: dayOf(loan.arrivedOn),
    returnBy: dayOf(loan.returnBy),
    loanDays: loan.loanDays,
    embargoUntil: instantOf(loan.embargoUntil),
    freightPayer: loan.freightPayer,
    insuredValueMinor: loan.insuredValueMinor,
    makerCommentAgreed: loan.makerCommentAgreed,
    makerRound: makerRoundOf(loan.makerMayComment, loan.previews, now),
    keepUntilPublished: loan.keepUntilPublished,
    carrier: loan.carrier,
    publishedUrl: loan.publishedUrl,
    returnCarrier: loan.returnCarrier,
    returnTracking: loan.returnTracking,
    deliveredOn: dayOf(loan.deliveredOn),
    deliveryConfirmedBy: loan.deliveryConfirmedBy,
    deliveryProven: loan.deliveryProofs.length > 0 || loan.deliveryNote.trim() !== '',
    outcome: loan.outcome,
    units: [...states.values()].map(({ facts }) => facts),
    accessories: loan.accessories.map((item) => ({
      name: item.name,
      expectedCount: item.expectedCount,
      arrivedCount: item.arrivedCount,
      returnedCount: item.returnedCount,
      lossSettled: item.lossToldAt !== null && item.returnNote.trim() !== '',
    })),
    reports: loan.reports.map(({ moment, unitId, damage, makerToldAt, signedAt }) => ({
      moment,
      unitId,
      damage,
      makerTold: makerToldAt !== null,
      signed: signedAt !== null,
    })),
    cons: pointsOf(loan.verdict).cons.map((con) => ({
      text: con.text,
      evidence: evidenceSentences(con).join(' '),
    })),
    verdictVersion: loan.verdict?.version ?? 0,
    draftVersion: loan.verdict?.draftVersion ?? 0,
    signOffs: loan.signOffs.map(({ verdictVersion, draftVersion, decision, accountId }) => ({
      verdictVersion,
      draftVersion,
      decision,
      by: accountId,
    })),
  };
}

interface MakerPreview {
  readonly expiresAt: Date;
  readonly revokedAt: Date | null;
  readonly closedAt: Date | null;
}

/** Closed by the team, or its date has passed. A preview taken back before either was none. */
export function makerRoundOf(
  makerMayComment: boolean,
  previews: readonly MakerPreview[],
  now: Date,
): LoanFacts['makerRound'] {
  if (!makerMayComment) return 'not-agreed';
  const open = ({ expiresAt, revokedAt, closedAt }: MakerPreview) =>
    closedAt === null && revokedAt === null && expiresAt > now;
  const over = ({ expiresAt, revokedAt, closedAt }: MakerPreview) =>
    closedAt !== null || (expiresAt <= now && (revokedAt === null || revokedAt >= expiresAt));
  if (previews.some(open)) return 'open';
  return previews.some(over) ? 'over' : 'not-begun';
}
