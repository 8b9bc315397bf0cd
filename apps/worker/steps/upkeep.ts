/** What the clock asks for: deadlines to watch, old rows to clear. */
import { Inject, Injectable } from '@nestjs/common';
import { clearOld } from '../../../libs/store/index.js';
import { watchDeadlines } from '../../../libs/plan-keeping/index.js';
import { CONFIG, type WorkerConfig } from '../workerConfig.js';

const KEEP_DAYS = { outbox: 14, feed: 90 };
const KEEP_ENDED_JOBS_MS = 24 * 3600_000;

@Injectable()
export class Upkeep {
  constructor(@Inject(CONFIG) private readonly config: WorkerConfig) {}

  async deadlines(): Promise<void> {
    await watchDeadlines(this.config.database, new Date());
  }

  async clear(): Promise<void> {
    await clearOld(this.config.database, KEEP_DAYS);
    await this.config.queues.prune(KEEP_ENDED_JOBS_MS);
  }
}
