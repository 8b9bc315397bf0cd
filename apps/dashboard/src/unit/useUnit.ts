/** The unit of the page one is on, with its loan, for its parts. */
import { useQueryClient } from '@tanstack/react-query';
import { useCallback } from 'react';
import { useOutletContext } from 'react-router';
import { keys } from '../api/keys.js';
import type { LoanView, UnitView } from '../contracts.js';

export interface UnitHere {
  readonly unit: UnitView;
  /** Null while it is being fetched. */
  readonly loan: LoanView | null;
}

export function useUnit(): UnitHere {
  return useOutletContext<UnitHere>();
}

/** After something of the unit changed: ask for it, its sets and its loan again. */
export function useRefreshUnit(unit: { readonly id: string; readonly loanId: string }): () => Promise<void> {
  const client = useQueryClient();
  const { id, loanId } = unit;
  return useCallback(async () => {
    await Promise.all([
      client.invalidateQueries({ queryKey: keys.unit(id) }),
      client.invalidateQueries({ queryKey: keys.sets(id) }),
    ]);
    void client.invalidateQueries({ queryKey: keys.loan(loanId) });
    void client.invalidateQueries({ queryKey: keys.dashboard });
  }, [client, id, loanId]);
}
