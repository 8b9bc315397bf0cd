/** Limits on how often something may be done, kept in the database: restarts and several servers share them. */
import { RateLimiterPostgres, RateLimiterRes } from 'rate-limiter-flexible';
import type { Database } from '../../../libs/store/index.js';
import { Refused } from '../http/refusals.js';

export interface Limit {
  readonly points: number;
  /** Seconds. */
  readonly duration: number;
}

export function storedLimiter(database: Database, keyPrefix: string, limit: Limit): RateLimiterPostgres {
  return new RateLimiterPostgres({
    storeClient: database.pool,
    storeType: 'pool',
    tableName: 'AttemptLimit',
    tableCreated: true,
    keyPrefix,
    ...limit,
  });
}

/** @throws Refused (429), with what `say` makes of the seconds to wait, when a limiter had enough */
export async function withinLimits(
  consume: () => Promise<unknown>,
  say: (seconds: number) => string,
): Promise<void> {
  try {
    await consume();
  } catch (error) {
    if (!(error instanceof RateLimiterRes)) throw error;
    const seconds = Math.max(1, Math.ceil(error.msBeforeNext / 1000));
    throw new Refused(429, { code: 'too-many-tries', message: say(seconds) }, seconds);
  }
}

export function waitMinutes(seconds: number): string {
  const minutes = Math.ceil(seconds / 60);
  return `Wait ${minutes} minute${minutes > 1 ? 's' : ''}.`;
}
