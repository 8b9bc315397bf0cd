/** Taking a person's name and what was said about them out of the history, without breaking its chain. */
import type { Change } from './change.js';
import { json, NULL_JSON } from './change.js';

export const ERASING = 'history-erased';
const ERASED_NAME = 'Somebody who left';
const ERASED_SENTENCE = 'did something that has been erased since';

export interface Erased {
  /** Numbers of entries whose text, values and reason are gone. */
  readonly contents: readonly string[];
  /** Numbers of entries whose actor's name is gone. */
  readonly names: readonly string[];
}

/**
 * Drops, with their salts, the contents of all entries about an account and its name from all that it did. Hashes,
 * times and ids stay. Which entries it were is itself an entry: one that is erased without being named there breaks
 * the chain. What other entries say of the person in their sentences stays, unless named.
 *
 * @param alsoContentOf numbers of further entries whose content goes
 */
export async function eraseFromHistory(
  made: Change,
  accountId: string,
  reason: string,
  alsoContentOf: readonly bigint[] = [],
): Promise<Erased> {
  const { tx } = made;
  const about = { subject: 'account', subjectId: accountId };
  const contents = await tx.historyEntry.findMany({
    where: { erasedAt: null, OR: [about, { number: { in: [...alsoContentOf] } }] },
    select: { id: true, number: true },
  });
  const names = await tx.historyEntry.findMany({
    // Whoever joined had no account yet at that moment: the line is about it.
    where: { nameErasedAt: null, OR: [{ actorId: accountId }, { actorId: null, ...about }] },
    select: { id: true, number: true },
  });
  const now = new Date();
  await tx.historyEntry.updateMany({
    where: { id: { in: contents.map(({ id }) => id) } },
    data: {
      sentence: ERASED_SENTENCE,
      before: NULL_JSON,
      after: NULL_JSON,
      reason: null,
      salt: null,
      erasedAt: now,
    },
  });
  await tx.historyEntry.updateMany({
    where: { id: { in: names.map(({ id }) => id) } },
    data: { actorName: ERASED_NAME, nameSalt: null, nameErasedAt: now },
  });
  const erased = { contents: numbersOf(contents), names: numbersOf(names) };
  made.record({
    action: ERASING,
    subject: 'history',
    subjectId: accountId,
    sentence: `erased ${contents.length} entries about a person and their name from ${names.length}`,
    after: json(erased),
    reason,
  });
  return erased;
}

const numbersOf = (rows: readonly { number: bigint | null }[]): string[] =>
  rows.flatMap(({ number }) => (number === null ? [] : [number.toString()]));
