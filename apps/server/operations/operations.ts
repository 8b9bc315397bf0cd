/** How the installation itself is, for whoever keeps it. */
import { Inject, Injectable } from '@nestjs/common';
import type { z } from 'zod';
import { keptBackups } from '../../../libs/backup/index.js';
import type { OperationsView, ProcessView, QueueView, RetryFailure } from '../../../libs/contracts/index.js';
import type { QueueCounts } from '../../../libs/jobs/queues.js';
import { change, seenProcesses } from '../../../libs/store/index.js';
import type { SignedIn } from '../access/sessions.js';
import { failedWork, retryWork } from '../failures/failedWork.js';
import { refuse } from '../http/refusals.js';
import { CONFIG, type ServerConfig } from '../serverConfig.js';
import { outboxFigures, storageFigures, storeVersions } from './storageFigures.js';
import { warningsOf } from './warnings.js';

@Injectable()
export class Operations {
  constructor(@Inject(CONFIG) private readonly config: ServerConfig) {}

  async look(): Promise<OperationsView> {
    const { database, queues, backups, uploadsFolder } = this.config;
    const [counts, failed, storage, versions, redis, processes, files, outbox] = await Promise.all([
      queues.counts(),
      failedWork(database),
      storageFigures(database, uploadsFolder),
      storeVersions(database),
      queues.redisVersion(),
      seenProcesses(database),
      keptBackups(backups.folder),
      outboxFigures(database),
    ]);
    const [last] = files;
    const now = new Date();
    const { version, algorithm } = this.config.about;
    const state = {
      queues: counts.map(presentQueue),
      failures: failed.map((one) => ({ ...one, since: one.since.toISOString() })),
      storage,
      versions: { product: version, algorithm, node: process.versions.node, redis, ...versions },
      processes: processes.map(presentProcess),
      lastBackup: last ? { at: last.at.toISOString(), bytes: last.bytes } : null,
    };
    const warnings = warningsOf({ ...state, now, outboxSeconds: outbox.oldestSeconds });
    return { at: now.toISOString(), warnings, ...state };
  }

  async retry({ kind, id }: z.output<typeof RetryFailure>, by: SignedIn): Promise<OperationsView> {
    const { database, recipe } = this.config;
    const isBegun = await change(database, by, (made) => retryWork(made, kind, id, recipe));
    if (!isBegun) {
      throw refuse.wrong('nothing-to-retry', 'That is not given up any more: it was tried again already.');
    }
    return this.look();
  }
}

function presentQueue({ queue, waiting, active, delayed, oldestWaitingMs }: QueueCounts): QueueView {
  const waitedSeconds = oldestWaitingMs === null ? null : Math.round(oldestWaitingMs / 1000);
  return { queue, waiting, running: active, later: delayed, waitedSeconds };
}

function presentProcess(seen: Awaited<ReturnType<typeof seenProcesses>>[number]): ProcessView {
  return {
    id: seen.id,
    role: seen.role,
    machine: seen.machine,
    version: seen.version,
    algorithm: seen.algorithm,
    node: seen.node,
    threads: seen.threads,
    memoryBytes: seen.memoryBytes,
    startedAt: seen.startedAt.toISOString(),
    seenAt: seen.seenAt.toISOString(),
    alive: seen.alive,
  };
}
