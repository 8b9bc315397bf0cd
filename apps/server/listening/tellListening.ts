/** What the team hears of listening: that it happened, never what was heard. */
import type { Change } from '../../../libs/store/index.js';
import { loanOf, tellLoan } from '../loans/tellLoan.js';

export async function tellListening(
  made: Change,
  unit: { id: string; name: string; loanId: string },
  action: string,
  sentence: string,
): Promise<void> {
  tellLoan(made, await loanOf(made, unit.loanId), action, sentence);
  made.publish('team', 'unit-changed', {
    loanId: unit.loanId,
    unitId: unit.id,
    name: unit.name,
    by: made.actor.name,
    sentence,
  });
}
