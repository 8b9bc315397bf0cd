/** Shows an answer once it is there; until then that it is coming, or why it is not. */
import type { UseQueryResult } from '@tanstack/react-query';
import { isSealed, isStatus } from '../words/refusals.js';
import { Button } from './Button.js';
import { Refusal } from './Notice.js';

export function Answer<T>(props: {
  query: UseQueryResult<T>;
  /** What is being fetched, in the plural or with an article: `the loans`. */
  what: string;
  /** What to say when there is no such thing. */
  gone?: string;
  children: (value: T) => React.ReactNode;
}) {
  const { query } = props;
  if (query.data !== undefined) return <>{props.children(query.data)}</>;
  if (query.isError) {
    if (isStatus(query.error, 404)) {
      return (
        <p className="empty">
          {props.gone ??
            `There is nothing here: ${props.what} may have been removed, or the link is incomplete.`}
        </p>
      );
    }
    if (isSealed(query.error)) return <Refusal error={query.error} />;
    if (isStatus(query.error, 403))
      return <p className="empty">This part is open to members of the team only.</p>;
    return (
      <div className="stack">
        <Refusal error={query.error} />
        <div>
          <Button onPress={() => void query.refetch()}>Try again</Button>
        </div>
      </div>
    );
  }
  return <output className="loading">Fetching {props.what}…</output>;
}
