/** Who did what, when and why. */
import { Link } from 'react-router';
import type { HistoryView } from '../contracts.js';
import { Instant } from '../kit/index.js';
import '../styles/history.css';

export function HistoryList({ entries, withLoan }: { entries: readonly HistoryView[]; withLoan?: boolean }) {
  if (entries.length === 0) return <p className="empty">Nothing has happened yet.</p>;
  return (
    <ol className="history">
      {entries.map((entry) => (
        <li key={entry.id}>
          <span className="small soft">
            <Instant at={entry.at} />
          </span>
          <span>
            <strong>{entry.by}</strong> {entry.sentence}{' '}
            {withLoan && entry.loanId && (
              <Link className="small" to={`/loans/${entry.loanId}`}>
                {entry.loanTitle ?? 'to the loan'}
              </Link>
            )}
            {entry.reason && <span className="history-reason">{entry.reason}</span>}
          </span>
        </li>
      ))}
    </ol>
  );
}
