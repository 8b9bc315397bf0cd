/** Checks of the whole history, kept: each says how far the chain went, and a later one must still go through there. */
import { change, type Actor } from './change.js';
import type { Database } from './database.js';
import type { Prisma } from './generated/client.js';
import { checkHistory, type HistoryChecked, type NotedPlace } from './historyCheck.js';

/** Which entries. */
export type HistoryFilter = Prisma.HistoryEntryWhereInput;

/** Of the newest ones; what was noted before them lies on the same chain. */
const COMPARED = 100;

/** @param written a place somebody wrote down elsewhere */
export async function checkAndNote(
  database: Database,
  by: Actor,
  written?: NotedPlace,
): Promise<HistoryChecked> {
  const noted: NotedPlace[] = await database.prisma.historyCheck.findMany({
    where: { brokenHow: null, number: { gt: 0 } },
    orderBy: { at: 'desc' },
    take: COMPARED,
    select: { number: true, hash: true },
  });
  const checked = await checkHistory(database, written ? [...noted, written] : noted);
  const { number, hash, broken } = checked;
  await change(database, by, async (made) => {
    await made.tx.historyCheck.create({
      data: {
        number,
        hash,
        askedBy: by.name,
        brokenNumber: broken?.number ?? null,
        brokenHow: broken?.how ?? null,
      },
    });
    if (broken) {
      made.record({
        action: 'history-broken',
        subject: 'history',
        subjectId: broken.number.toString(),
        sentence: `found that the history does not hold at number ${broken.number}`,
        after: { how: broken.how },
      });
    }
    made.publish('team', 'history-checked', { by: by.name, holds: !broken });
  });
  return checked;
}

const EVERY_MS = 20 * 3600_000;

/** About once a day, however many workers ask. */
export async function checkHistoryDaily(database: Database, by: Actor, now: Date): Promise<void> {
  const lately = await database.prisma.historyCheck.count({
    where: { at: { gt: new Date(now.getTime() - EVERY_MS) } },
  });
  if (lately === 0) await checkAndNote(database, by);
}
