/** What the pages ask for. Live events keep answers fresh, so they are not asked again for their age alone. */
import { infiniteQueryOptions, queryOptions } from '@tanstack/react-query';
import { api } from './api.js';
import { keys } from './keys.js';

export const queries = {
  session: () => queryOptions({ queryKey: keys.session, queryFn: () => api.session() }),
  dashboard: () => queryOptions({ queryKey: keys.dashboard, queryFn: () => api.dashboard() }),
  loans: () => queryOptions({ queryKey: keys.loans, queryFn: () => api.loans() }),
  loan: (id: string) => queryOptions({ queryKey: keys.loan(id), queryFn: () => api.loan(id) }),
  loanHistory: (id: string) =>
    queryOptions({ queryKey: keys.loanHistory(id), queryFn: () => api.loanHistory(id) }),
  unit: (id: string) => queryOptions({ queryKey: keys.unit(id), queryFn: () => api.unit(id) }),
  sets: (unitId: string) => queryOptions({ queryKey: keys.sets(unitId), queryFn: () => api.sets(unitId) }),
  evidence: (unitId: string) =>
    queryOptions({ queryKey: keys.evidence(unitId), queryFn: () => api.evidence(unitId) }),
  sealRecord: (sessionId: string) =>
    queryOptions({ queryKey: keys.sealRecord(sessionId), queryFn: () => api.sealRecord(sessionId) }),
  publishedSeals: (loanId: string) =>
    queryOptions({ queryKey: keys.publishedSeals(loanId), queryFn: () => api.publishedSeals(loanId) }),
  makers: () => queryOptions({ queryKey: keys.makers, queryFn: () => api.makers() }),
  maker: (id: string) => queryOptions({ queryKey: keys.maker(id), queryFn: () => api.maker(id) }),
  people: () => queryOptions({ queryKey: keys.people, queryFn: () => api.people() }),
  invitations: () => queryOptions({ queryKey: keys.invitations, queryFn: () => api.invitations() }),
  published: () => queryOptions({ queryKey: keys.published, queryFn: () => api.published() }),
  history: () =>
    infiniteQueryOptions({
      queryKey: keys.history,
      queryFn: ({ pageParam }: { pageParam: string | undefined }) => api.history(pageParam),
      initialPageParam: undefined as string | undefined,
      getNextPageParam: (page) => page.at(-1)?.at,
    }),
};
