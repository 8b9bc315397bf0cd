/** What the archive's pages ask for; live events call `archive` and `campaigns` stale by these names. */
import { keepPreviousData, queryOptions } from '@tanstack/react-query';
import { api } from '../api/api.js';
import { keys } from '../api/keys.js';
import type { ArchiveAsk } from './archiveAddress.js';
import { compareLinks, type CompareAsk } from './compareAddress.js';

export const archiveQueries = {
  page: (ask: ArchiveAsk) =>
    queryOptions({
      queryKey: ['archive', 'page', ask],
      queryFn: () => api.archive(ask),
      placeholderData: keepPreviousData,
    }),
  nearest: (unitId: string) =>
    queryOptions({
      queryKey: ['archive', 'nearest', unitId],
      queryFn: () => api.comparables(unitId, { limit: 5 }),
    }),
  /** Kept under the name by which the figure itself asks for its description. */
  comparison: (ask: CompareAsk) =>
    queryOptions({
      queryKey: keys.description(compareLinks(ask).descriptionUrl),
      queryFn: () => api.comparison({ ...ask, units: [...ask.units] }),
    }),
  campaigns: () => queryOptions({ queryKey: ['campaigns'], queryFn: () => api.campaigns() }),
  campaign: (id: string) => queryOptions({ queryKey: ['campaigns', id], queryFn: () => api.campaign(id) }),
};
