/** What the public pages ask for; live events call `reviews` stale by that name. */
import { infiniteQueryOptions, keepPreviousData, queryOptions } from '@tanstack/react-query';
import { api } from '../api/api.js';
import { inParts } from '../api/inParts.js';
import { keys } from '../api/keys.js';
import type { ArchiveAsk } from '../archive/archiveAddress.js';
import type { CompareAsk } from '../archive/compareAddress.js';
import { asAddress, type ReviewSummary } from '../contracts.js';

export const reviewQueries = {
  list: () =>
    infiniteQueryOptions({
      queryKey: ['reviews', 'list'],
      queryFn: ({ pageParam }) => api.reviews({ after: pageParam }),
      ...inParts<ReviewSummary>(({ loanId }) => loanId),
    }),
  one: (loanId: string, version: number | undefined) =>
    queryOptions({
      queryKey: ['reviews', loanId, version ?? 'current'],
      queryFn: () => api.review(loanId, version),
    }),
  units: ({ makerId: _makerId, ...ask }: ArchiveAsk) =>
    queryOptions({
      queryKey: ['reviews', 'units', ask],
      queryFn: () => api.reviewUnits(ask),
      placeholderData: keepPreviousData,
    }),
  comparison: (ask: CompareAsk) =>
    queryOptions({
      queryKey: keys.description(compareReviewLinks(ask).descriptionUrl),
      queryFn: () => api.compareReviews({ ...ask, units: [...ask.units] }),
    }),
};

/** Where the figure is kept ready, and drawn for downloading. */
export function compareReviewLinks(ask: CompareAsk) {
  const asked = asAddress({ ...ask, units: ask.units.join(',') });
  const drawn = (form: string) => `/api/reviews/comparison/figure.${form}?${asked}`;
  return {
    descriptionUrl: `/api/reviews/comparison?${asked}`,
    svgUrl: drawn('svg'),
    pngUrl: drawn('png'),
    csvUrl: drawn('csv'),
  };
}

export const compareReviewsPath = ({
  units,
  ...look
}: Pick<CompareAsk, 'units'> & Partial<CompareAsk>): string =>
  `/reviews/compare?${asAddress({ units: units.join(','), ...look })}`;
