/** After a preview changed: ask for all of them again. */
import { useQueryClient } from '@tanstack/react-query';
import { keys } from '../api/keys.js';

export function useRefreshPreviews(loanId: string): () => Promise<void> {
  const client = useQueryClient();
  return () => client.invalidateQueries({ queryKey: keys.previews(loanId) });
}
