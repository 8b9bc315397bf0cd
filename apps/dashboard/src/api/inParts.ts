/** Lists that are fetched a part at a time, each part going on after the last one of the part before. */
import { LIST_PART } from '../contracts.js';

export const inParts = <T>(idOf: (row: T) => string) => ({
  initialPageParam: undefined as string | undefined,
  getNextPageParam: (part: readonly T[]) => {
    const last = part.at(-1);
    return last !== undefined && part.length >= LIST_PART ? idOf(last) : undefined;
  },
});
