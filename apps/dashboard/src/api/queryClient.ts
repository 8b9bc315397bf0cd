/** One cache for the whole page. */
import { QueryCache, QueryClient } from '@tanstack/react-query';
import { isStatus } from '../words/refusals.js';
import { keys } from './keys.js';

export function makeQueryClient(): QueryClient {
  const client = new QueryClient({
    queryCache: new QueryCache({
      onError: (error, query) => {
        // The session ended: ask who is here, and the door shows.
        if (isStatus(error, 401) && query.queryKey[0] !== 'session') {
          void client.invalidateQueries({ queryKey: keys.session });
        }
      },
    }),
    defaultOptions: {
      queries: {
        staleTime: 60_000,
        refetchOnWindowFocus: true,
        retry: (failures, error) => error instanceof TypeError && failures < 3,
      },
    },
  });
  return client;
}
