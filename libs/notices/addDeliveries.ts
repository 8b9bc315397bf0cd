/** Asks for everybody who wants to hear of something to be told, in the change that makes it true. */
import type { DeadlineKind } from '../contracts/index.js';
import type { Change } from '../store/index.js';
import { chosenChannels, notBefore, workingChannels } from './choices.js';

export interface Occasion {
  readonly kind: DeadlineKind;
  readonly loanId: string;
  /** Names the occasion: the same again makes no second message. */
  readonly about: string;
  readonly sentence: string;
}

/** @returns how many messages were asked for */
export async function addDeliveries(
  made: Change,
  occasion: Occasion,
  emailWorks: boolean,
  now: Date,
): Promise<number> {
  // Supporters do not see loans before they are out: they are told nothing of them.
  const people = await made.tx.account.findMany({
    where: { disabledAt: null, role: { not: 'viewer' } },
    select: { id: true, timeZone: true, notifications: true },
    orderBy: { id: 'asc' },
  });
  const wanted = people.flatMap(({ id, timeZone, notifications }) =>
    workingChannels(chosenChannels(notifications)[occasion.kind], notifications, emailWorks).map(
      (channel) => ({
        accountId: id,
        channel,
        ...occasion,
        nextAttemptAt: notBefore(notifications, timeZone, now),
      }),
    ),
  );
  const added = await made.tx.delivery.createManyAndReturn({
    data: wanted,
    skipDuplicates: true,
    select: { id: true, nextAttemptAt: true },
  });
  for (const { id, nextAttemptAt } of added) {
    if (nextAttemptAt <= now) made.request('deliver', deliveryJobId(id, 0), { deliveryId: id });
  }
  return added.length;
}

/** Each try has a job of its own; asking for the same try twice is asking once. */
export const deliveryJobId = (id: string, attempts: number): string => `deliver-${id}-${attempts}`;
