/** The history of the whole house. */
import { useInfiniteQuery } from '@tanstack/react-query';
import { queries } from '../api/queries.js';
import { Button, PageHead, Refusal } from '../kit/index.js';
import { HistoryList } from './HistoryList.js';

export function HistoryPage() {
  const history = useInfiniteQuery(queries.history());
  return (
    <>
      <PageHead title="History" beneath="Who did what, when, and why." />
      <Refusal error={history.error} />
      {history.isPending && <p className="loading">Fetching the history…</p>}
      {history.data && <HistoryList entries={history.data.pages.flat()} withLoan />}
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
