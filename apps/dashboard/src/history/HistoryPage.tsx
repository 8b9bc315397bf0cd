/** The history of the whole house. */
import { useInfiniteQuery } from '@tanstack/react-query';
import { useState } from 'react';
import { queries } from '../api/queries.js';
import type { HistoryQuery } from '../contracts.js';
import { Button, PageHead, Refusal } from '../kit/index.js';
import { ChainState } from './ChainState.js';
import { HistoryFilter } from './HistoryFilter.js';
import { HistoryList } from './HistoryList.js';

export function HistoryPage() {
  const [ask, setAsk] = useState<HistoryQuery>({});
  const history = useInfiniteQuery(queries.history(ask));
  const lines = history.data?.pages.flat();
  const limited = Object.values(ask).some(Boolean);
  return (
    <>
      <PageHead title="History" beneath="Who did what, when, and why." />
      <ChainState />
      <HistoryFilter ask={ask} onAsk={setAsk} />
      <Refusal error={history.error} />
      {history.isPending && <p className="loading">Fetching the history…</p>}
      {lines && limited && lines.length === 0 && (
        <p className="empty">Nothing in the history is like that. Ask for fewer things at once.</p>
      )}
      {lines && !(limited && lines.length === 0) && <HistoryList entries={lines} withLoan />}
      {history.hasNextPage && (
        <p>
          <Button busy={history.isFetchingNextPage} onPress={() => void history.fetchNextPage()}>
            Earlier
          </Button>
        </p>
      )}
    </>
  );
}
