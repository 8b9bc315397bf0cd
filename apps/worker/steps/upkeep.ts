/** What the clock asks for: deadlines to watch, messages to send, old rows to clear. */
import { Inject, Injectable, type OnModuleDestroy } from '@nestjs/common';
import {
  change,
  checkHistoryDaily,
  clearLeavingFiles,
  clearOld,
  forgetSetAside,
  noteSetAside,
  packOldResults,
  purgeBin,
  startDuePublications,
  theHouse,
  workInFlight,
} from '../../../libs/store/index.js';
import { giveUpBackup, runBackup, scheduleBackup } from '../../../libs/backup/index.js';
import { clearExports, giveUpExport, makeExport } from '../../../libs/exports/index.js';
import { LeftOff } from '../../../libs/jobs/passing.js';
import type { RunningJob } from '../../../libs/jobs/queues.js';
import {
  clearDeliveries,
  clearTries,
  deliver,
  dueDeliveries,
  giveUpDelivery,
  openMailer,
  type Mailer,
} from '../../../libs/notices/index.js';
import {
  clearProposals,
  recordDoneSteps,
  teamPlan,
  watchDeadlines,
} from '../../../libs/plan-keeping/index.js';
import { acceptDemoPlan } from '../demo/demoPlan.js';
import { publishDemoReviews } from '../demo/demoReviews.js';
import { CONFIG, type WorkerConfig } from '../workerConfig.js';

const KEEP_DAYS = { outbox: 14, feed: 90 };
const Day = 24 * 3600_000;
const KEEP_PROPOSALS_MS = 7 * Day;
const KEEP_DELIVERIES_MS = 180 * Day;
const KEEP_TRIES_MS = 30 * Day;
const KEEP_ENDED_JOBS_MS = Day;
/** Every hour; a few take a second. */
const PACKED_AT_ONCE = 500;

@Injectable()
export class Upkeep implements OnModuleDestroy {
  readonly #mailer: Mailer | undefined;
  readonly #leaving = new AbortController();

  constructor(@Inject(CONFIG) private readonly config: WorkerConfig) {
    const { smtpUrl, from } = config.messages;
    this.#mailer = smtpUrl ? openMailer(smtpUrl, from) : undefined;
  }

  /** From now on what takes long is broken off, and is another worker's from its beginning. */
  leaveOff(): void {
    this.#leaving.abort();
  }

  async deadlines(): Promise<void> {
    const { database } = this.config;
    const now = new Date();
    await watchDeadlines(database, now, { emailWorks: this.#mailer !== undefined });
    await recordDoneSteps(database, await teamPlan(database, now), now);
    await acceptDemoPlan(database, now);
    await publishDemoReviews(database, now);
  }

  async deliver({ deliveryId }: { deliveryId: string }): Promise<void> {
    const { messages: settings, secrets } = this.config;
    const ways = { mailer: this.#mailer, settings, secrets };
    await deliver(this.config.database, ways, deliveryId, new Date());
  }

  /** Messages whose time has come go to the queue of messages, each under an id of its own. */
  async sendDue(): Promise<void> {
    const due = await dueDeliveries(this.config.database, new Date());
    if (due.length > 0) await this.config.queues.add(due);
  }

  /** Reviews that wait for their embargo: built and published once it has ended. */
  async publishDue(): Promise<void> {
    const { database } = this.config;
    const now = new Date();
    const due = await database.prisma.publication.count({
      where: { state: 'scheduled', publishAfter: { lte: now } },
    });
    if (due > 0) await change(database, theHouse, (made) => startDuePublications(made, now));
  }

  async clear(): Promise<void> {
    const { database, blobs } = this.config;
    const now = new Date();
    await clearOld(database, KEEP_DAYS);
    await clearProposals(database, new Date(now.getTime() - KEEP_PROPOSALS_MS));
    await clearDeliveries(database, new Date(now.getTime() - KEEP_DELIVERIES_MS));
    await clearTries(database, new Date(now.getTime() - KEEP_TRIES_MS));
    await clearExports(database, blobs, now);
    await purgeBin(database, now);
    await clearLeavingFiles(database, (sha256, before) => blobs.remove(sha256, before), now);
    await packOldResults(database, PACKED_AT_ONCE);
    await this.config.queues.prune(KEEP_ENDED_JOBS_MS);
    await checkHistoryDaily(database, theHouse, now);
  }

  async scheduleBackup(): Promise<void> {
    await scheduleBackup(this.config.database, new Date());
  }

  async makeBackup({ payload }: RunningJob<'make-backup'>): Promise<void> {
    await this.#unlessLeaving((leaving) => runBackup({ ...this.config, leaving }, payload.runId));
  }

  async giveUpBackup({ runId }: { runId: string }, reason: string): Promise<void> {
    await giveUpBackup(this.config, runId, reason);
  }

  async giveUpDelivery({ deliveryId }: { deliveryId: string }, reason: string): Promise<void> {
    await giveUpDelivery(this.config.database, deliveryId, reason);
  }

  /** Work that has no row of its own to say so. */
  async setAside({ name, payload }: RunningJob, reason: string): Promise<void> {
    await change(this.config.database, theHouse, (made) => noteSetAside(made, name, payload, reason));
  }

  /** What was set aside before is forgotten once it goes well. */
  async succeeding({ name, payload }: RunningJob, work: () => Promise<void>): Promise<void> {
    await work();
    await forgetSetAside(this.config.database, name, payload);
  }

  /** What the rows say is under way and the queue lost; messages whose time has come are among it. */
  async mendQueues(): Promise<void> {
    const { database, queues, publishFolder } = this.config;
    const underWay = await workInFlight(database, publishFolder !== undefined);
    await queues.mend([...underWay, ...(await dueDeliveries(database, new Date()))]);
  }

  async makeExport({ payload }: RunningJob<'make-export'>): Promise<void> {
    await this.#unlessLeaving((leaving) => makeExport({ ...this.config, leaving }, payload.exportId));
  }

  async giveUpExport({ exportId }: { exportId: string }, reason: string): Promise<void> {
    await giveUpExport(this.config.database, exportId, reason);
  }

  async #unlessLeaving(work: (leaving: AbortSignal) => Promise<void>): Promise<void> {
    const { signal } = this.#leaving;
    try {
      await work(signal);
    } catch (error) {
      if (!signal.aborted) throw error;
      throw new LeftOff('The worker stops; another makes it from the beginning.', { cause: error });
    }
  }

  onModuleDestroy(): void {
    this.#mailer?.close();
  }
}
