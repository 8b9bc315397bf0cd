/** Comments that name a person and wait for their word: until settled, or answered by them. */
import type { LoanSummary, Need } from '../../../libs/contracts/index.js';
import type { Sealed, Tx } from '../../../libs/store/index.js';

export async function mentionNeeds(
  tx: Tx,
  loans: readonly LoanSummary[],
  accountId: string,
  sealed: Sealed,
): Promise<Need[]> {
  const rows = await tx.draftComment.findMany({
    where: {
      state: 'open',
      mentions: { has: accountId },
      authorId: { not: accountId },
      loan: { stage: { not: 'closed' } },
      answers: { none: { authorId: accountId } },
      OR: [{ replyTo: null }, { parent: { state: 'open' } }],
    },
    select: { loanId: true, author: { select: { name: true } } },
    orderBy: { createdAt: 'asc' },
  });
  return loans.flatMap((loan): Need[] => {
    const mine = rows.filter(({ loanId }) => loanId === loan.id);
    if (mine.length === 0 || sealed.loans.has(loan.id)) return [];
    const names = [...new Set(mine.map(({ author }) => author.name))].join(', ');
    return [
      {
        id: `${loan.id}-mentioned`,
        group: 'sign-off',
        urgency: loan.plan.urgency,
        loanId: loan.id,
        unitId: null,
        title: loan.title,
        sentence: `${names} mentioned you in the draft.`,
        by: loan.returnBy,
        waitsFor: 'you',
      },
    ];
  });
}
