/** The loan of the page one is on, for its parts. */
import { useQueryClient } from '@tanstack/react-query';
import { useCallback } from 'react';
import { useOutletContext } from 'react-router';
import { keys } from '../api/keys.js';
import type { LoanView } from '../contracts.js';

export function useLoan(): LoanView {
  return useOutletContext<LoanView>();
}

/** Puts a fresher loan on the page and lets the lists that show it ask again. */
export function useKeepLoan(): (loan: LoanView) => void {
  const client = useQueryClient();
  return useCallback(
    (loan: LoanView) => {
      client.setQueryData(keys.loan(loan.id), loan);
      for (const key of [keys.dashboard, keys.loans, keys.loanHistory(loan.id)]) {
        void client.invalidateQueries({ queryKey: key });
      }
    },
    [client],
  );
}

/** After a part of the loan changed: ask for the whole again. */
export function useRefreshLoan(loanId: string): () => Promise<void> {
  const client = useQueryClient();
  return useCallback(async () => {
    await client.invalidateQueries({ queryKey: keys.loan(loanId) });
    void client.invalidateQueries({ queryKey: keys.dashboard });
    void client.invalidateQueries({ queryKey: keys.loanHistory(loanId) });
  }, [client, loanId]);
}
