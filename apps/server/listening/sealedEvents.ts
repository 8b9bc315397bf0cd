/** Events for somebody who is listening blind: without those that tell of a unit whose results they must not know. */
import type { FeedEvent, FeedType } from '../../../libs/contracts/index.js';
import type { Sealed } from '../../../libs/store/index.js';

/** Events that never tell of results, whatever they are about. */
const plain: ReadonlySet<FeedType> = new Set([
  'maker-changed',
  'people-changed',
  'history-checked',
  'plan-changed',
  'calendars-changed',
  'campaign-progress',
  'deadline',
]);
/** Events whose words may tell, while that something happened does not. */
const withoutWords: ReadonlySet<FeedType> = new Set(['loan-changed', 'unit-changed', 'bin-changed']);

export interface About {
  readonly unitId?: string | undefined;
  readonly loanId?: string | undefined;
}
export const aboutOf = (event: FeedEvent): About => event.payload as About;

export const mayTell = ({ type }: FeedEvent): boolean => plain.has(type);

/** The event as it may be told to somebody who listens blind to what it is about; undefined when it may not. */
export const asTold = (event: FeedEvent): FeedEvent | undefined =>
  withoutWords.has(event.type)
    ? ({ ...event, payload: { ...event.payload, sentence: '' } } as FeedEvent)
    : undefined;

export function eventsFor(events: readonly FeedEvent[], sealed: Sealed): FeedEvent[] {
  return events.flatMap((event) => {
    const { unitId, loanId } = aboutOf(event);
    const about =
      (unitId !== undefined && sealed.units.has(unitId)) ||
      (loanId !== undefined && sealed.loans.has(loanId));
    return about && !mayTell(event) ? (asTold(event) ?? []) : [event];
  });
}
