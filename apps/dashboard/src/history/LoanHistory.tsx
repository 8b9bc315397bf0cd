/** The history of one loan. */
import { useQuery } from '@tanstack/react-query';
import { queries } from '../api/queries.js';
import { Answer } from '../kit/index.js';
import { useLoan } from '../loans/useLoan.js';
import { HistoryList } from './HistoryList.js';

export function LoanHistory() {
  const history = useQuery(queries.loanHistory(useLoan().id));
  return (
    <Answer query={history} what="the history">
      {(entries) => <HistoryList entries={entries} />}
    </Answer>
  );
}
