/** Everything the stage machine wants to know of one loan, from the database. */
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
    },
  });
  if (!loan) throw new NotFound('That loan is not there (any more).');
  const states = await unitStates(tx, { loanId });
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
    cons: (loan.verdict?.cons ?? []) as { text: string; evidence: string }[],
    verdictVersion: loan.verdict?.version ?? 0,
    signOffs: loan.signOffs.map(({ verdictVersion, decision, accountId }) => ({
      verdictVersion,
      decision,
      by: accountId,
    })),
  };
}
