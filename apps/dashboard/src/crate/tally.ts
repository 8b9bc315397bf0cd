/** How far a checklist is. */
import type { AccessoryView, Moment } from '../contracts.js';

export const countOf = (item: AccessoryView, moment: Moment): number | null =>
  moment === 'arrival' ? item.arrivedCount : item.returnedCount;

/** What should be there: what was promised on arrival, what had come on return. */
export const expectedOf = (item: AccessoryView, moment: Moment): number =>
  moment === 'arrival' ? item.expectedCount : (item.arrivedCount ?? item.expectedCount);

export function tally(items: readonly AccessoryView[], moment: Moment) {
  const counted = items.filter((item) => countOf(item, moment) !== null);
  const short = counted.flatMap((item) => {
    const missing = expectedOf(item, moment) - (countOf(item, moment) ?? 0);
    return missing > 0 ? [`${missing} × ${item.name}`] : [];
  });
  return { all: items.length, counted: counted.length, short };
}
