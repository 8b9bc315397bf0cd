/** What came of each try at sending a message: never what was sent, and no longer than 30 days. */
import type { Database } from '../store/index.js';

export interface Tried {
  readonly deliveryId: string;
  /** Counted from 1, as the message's own attempts are. */
  readonly number: number;
}

const CUT_OFF = 'Its sending was cut off.';

/** Written before it is sent, so that a sender who dies leaves a line too. */
export async function beginTry({ prisma }: Database, tried: Tried, now: Date): Promise<void> {
  const line = { ...tried, at: now, durationMs: 0, reason: CUT_OFF };
  await prisma.deliveryTry.createMany({ data: [line], skipDuplicates: true });
}

export async function endTry(
  { prisma }: Database,
  { deliveryId, number }: Tried,
  came: { readonly durationMs: number; readonly status: number | null; readonly reason: string | null },
): Promise<void> {
  await prisma.deliveryTry.updateMany({
    where: { deliveryId, number },
    data: { ...came, durationMs: Math.round(came.durationMs) },
  });
}

export async function clearTries({ prisma }: Database, before: Date): Promise<void> {
  await prisma.deliveryTry.deleteMany({ where: { at: { lt: before } } });
}
