/** One change of the house's calendars: everything that rests on them is asked for again, also when it was refused. */
import { useMutation, useQueryClient } from '@tanstack/react-query';
import { keys } from '../api/keys.js';
import { isStale } from '../edit/useVersionedSave.js';

export function useHouseSave<Ask, Kept>(
  send: (ask: Ask) => Promise<Kept>,
  onKept: (kept: Kept) => void = () => undefined,
) {
  const client = useQueryClient();
  const saving = useMutation({
    mutationFn: send,
    onSettled: async () => {
      await client.invalidateQueries({ queryKey: keys.calendars });
      for (const key of [keys.plan, keys.dashboard, keys.loans, ['loan']])
        void client.invalidateQueries({ queryKey: key });
    },
    onSuccess: onKept,
  });
  return { ...saving, stale: isStale(saving.error) };
}
