/** What the pages ask for. Live events keep answers fresh, so they are not asked again for their age alone. */
import { infiniteQueryOptions, keepPreviousData, queryOptions } from '@tanstack/react-query';
import type { LoansQuery, LoanSummary } from '../contracts.js';
import { api } from './api.js';
import { inParts } from './inParts.js';
import { keys } from './keys.js';
import type { HistoryQuery } from '../contracts.js';

export const queries = {
  session: () => queryOptions({ queryKey: keys.session, queryFn: () => api.session() }),
  dashboard: () => queryOptions({ queryKey: keys.dashboard, queryFn: () => api.dashboard() }),
  loans: (ask: Omit<LoansQuery, 'after' | 'limit'>) =>
    infiniteQueryOptions({
      queryKey: [...keys.loans, ask],
      queryFn: ({ pageParam }) => api.loans({ ...ask, after: pageParam }),
      placeholderData: keepPreviousData,
      ...inParts<LoanSummary>(({ id }) => id),
    }),
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
  draftHouse: () => queryOptions({ queryKey: keys.draftHouse, queryFn: () => api.draftHouse() }),
  draftComments: (loanId: string) =>
    queryOptions({ queryKey: keys.draftComments(loanId), queryFn: () => api.draftComments(loanId) }),
  evidenceChoices: (loanId: string) =>
    queryOptions({ queryKey: keys.evidenceChoices(loanId), queryFn: () => api.evidenceChoices(loanId) }),
  previews: (loanId: string) =>
    queryOptions({ queryKey: keys.previews(loanId), queryFn: () => api.previews(loanId) }),
  makers: () => queryOptions({ queryKey: keys.makers, queryFn: () => api.makers() }),
  maker: (id: string) => queryOptions({ queryKey: keys.maker(id), queryFn: () => api.maker(id) }),
  people: () => queryOptions({ queryKey: keys.people, queryFn: () => api.people() }),
  tokens: () => queryOptions({ queryKey: keys.tokens, queryFn: () => api.tokens() }),
  removal: (id: string) => queryOptions({ queryKey: ['removal', id], queryFn: () => api.removalOf(id) }),
  exports: () => queryOptions({ queryKey: keys.exports, queryFn: () => api.exports() }),
  bin: () => queryOptions({ queryKey: keys.bin, queryFn: () => api.bin() }),
  backups: () => queryOptions({ queryKey: keys.backups, queryFn: () => api.backups() }),
  operations: () => queryOptions({ queryKey: keys.operations, queryFn: () => api.operations() }),
  waiting: (analysisId: string) =>
    queryOptions({ queryKey: keys.waiting(analysisId), queryFn: () => api.waiting(analysisId) }),
  invitations: () => queryOptions({ queryKey: keys.invitations, queryFn: () => api.invitations() }),
  published: () =>
    infiniteQueryOptions({
      queryKey: keys.published,
      queryFn: ({ pageParam }) => api.published({ after: pageParam }),
      ...inParts<LoanSummary>(({ id }) => id),
    }),
  plan: () => queryOptions({ queryKey: [...keys.plan, 'now'], queryFn: () => api.plan() }),
  bookings: (from: string, to: string) =>
    queryOptions({ queryKey: keys.bookings(from, to), queryFn: () => api.bookings(from, to) }),
  workload: (from: string, weeks: number) =>
    queryOptions({ queryKey: keys.workload(from, weeks), queryFn: () => api.workload(from, weeks) }),
  loanSteps: (id: string) => queryOptions({ queryKey: keys.loanSteps(id), queryFn: () => api.loanSteps(id) }),
  house: () => queryOptions({ queryKey: keys.house, queryFn: () => api.house() }),
  templates: () => queryOptions({ queryKey: keys.templates, queryFn: () => api.templates() }),
  estimates: () => queryOptions({ queryKey: keys.estimates, queryFn: () => api.estimates() }),
  notifications: () => queryOptions({ queryKey: keys.notifications, queryFn: () => api.notifications() }),
  calendarFeed: () => queryOptions({ queryKey: keys.calendarFeed, queryFn: () => api.calendarFeed() }),
  publication: (loanId: string) =>
    queryOptions({ queryKey: keys.publication(loanId), queryFn: () => api.publication(loanId) }),
  publicationHouse: () =>
    queryOptions({ queryKey: keys.publicationHouse, queryFn: () => api.publicationHouse() }),
  feedback: () => queryOptions({ queryKey: keys.feedback, queryFn: () => api.feedback() }),
  deliveries: () =>
    infiniteQueryOptions({
      queryKey: keys.deliveries,
      queryFn: ({ pageParam }: { pageParam: string | undefined }) => api.deliveries(pageParam),
      initialPageParam: undefined as string | undefined,
      getNextPageParam: (page) => page.next ?? undefined,
    }),
  sessions: () => queryOptions({ queryKey: keys.sessions, queryFn: () => api.sessions() }),
  history: (ask: HistoryQuery) =>
    infiniteQueryOptions({
      queryKey: keys.historyLines(ask),
      queryFn: ({ pageParam }: { pageParam: number | undefined }) =>
        api.history({ ...ask, before: pageParam }),
      initialPageParam: undefined as number | undefined,
      getNextPageParam: (page) => page.at(-1)?.number,
    }),
  historyChain: () => queryOptions({ queryKey: keys.historyChain, queryFn: () => api.historyChain() }),
};
