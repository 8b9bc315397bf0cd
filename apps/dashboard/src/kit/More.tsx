/** Goes on with a list of which only the first part has been fetched. */
import { Button } from './Button.js';

export function More(props: {
  query: { hasNextPage: boolean; isFetchingNextPage: boolean; fetchNextPage: () => unknown };
  words: string;
}) {
  const { hasNextPage, isFetchingNextPage, fetchNextPage } = props.query;
  if (!hasNextPage) return null;
  return (
    <p>
      <Button busy={isFetchingNextPage} onPress={() => void fetchNextPage()}>
        {props.words}
      </Button>
    </p>
  );
}
