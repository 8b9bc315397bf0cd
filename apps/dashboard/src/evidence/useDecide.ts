/** Deciding on a pair: the newest evidence comes back with the answer. */
import { useMutation, useQueryClient } from '@tanstack/react-query';
import { api } from '../api/api.js';
import { keys } from '../api/keys.js';
import type { EvidenceFindingView, PairDecision } from '../contracts.js';

export interface Deciding {
  readonly remarkId: string;
  readonly finding: EvidenceFindingView;
  readonly decision: PairDecision;
  readonly note: string;
  readonly version: number;
}

export function useDecide(unitId: string) {
  const client = useQueryClient();
  return useMutation({
    mutationFn: ({ finding, ...ask }: Deciding) =>
      api.decidePair(unitId, { ...ask, findingKind: finding.kind, findingHz: finding.centreHz }),
    onSuccess: (view) => client.setQueryData(keys.evidence(unitId), view),
    onError: () => void client.invalidateQueries({ queryKey: keys.evidence(unitId) }),
  });
}
