/** Work of the house itself that failed for good or kept ending its worker: kept with its reason until it succeeds. */
import type { JobName } from '../contracts/index.js';
import { json, type Change } from './change.js';
import type { Database } from './database.js';

/** What the clock asks for again and again is one piece of work; anything else is told apart by what it is about. */
export const setAsideKey = (job: JobName, payload: object): string =>
  'asked' in payload ? job : `${job}:${JSON.stringify(payload)}`;

export async function noteSetAside(
  made: Change,
  job: JobName,
  payload: object,
  reason: string,
): Promise<void> {
  const key = setAsideKey(job, payload);
  const data = { key, job, payload: json(payload), reason };
  await made.tx.setAsideJob.upsert({
    where: { key },
    create: data,
    update: { reason, times: { increment: 1 } },
  });
}

/** It went well after all. */
export async function forgetSetAside(database: Database, job: JobName, payload: object): Promise<void> {
  await database.prisma.setAsideJob.deleteMany({ where: { key: setAsideKey(job, payload) } });
}
