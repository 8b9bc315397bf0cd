/** A line in the history and an event for open dashboards, for whatever happens to a loan or its parts. */
import type { Stage } from '../../../libs/contracts/index.js';
import type { Change, HistoryLine } from '../../../libs/store/index.js';

export function tellLoan(
  made: Change,
  loan: { id: string; title: string; stage: Stage },
  action: string,
  sentence: string,
  more: Pick<HistoryLine, 'before' | 'after' | 'reason'> = {},
): void {
  made.record({ action, subject: 'loan', subjectId: loan.id, loanId: loan.id, sentence, ...more });
  made.publish('team', 'loan-changed', {
    loanId: loan.id,
    title: loan.title,
    stage: loan.stage,
    by: made.actor.name,
    sentence,
  });
}

/** The loan a part belongs to, for `tellLoan`. */
export const loanOf = (made: Change, loanId: string) =>
  made.tx.loan.findUniqueOrThrow({ where: { id: loanId }, select: { id: true, title: true, stage: true } });
