/** Backups as the owner sees them: made now, listed, taken home, removed, and the times they are made by themselves. */
import { createReadStream } from 'node:fs';
import path from 'node:path';
import { Inject, Injectable } from '@nestjs/common';
import type { FastifyReply } from 'fastify';
import type { z } from 'zod';
import {
  backupPlan,
  keptBackups,
  removeBackup,
  requestBackup,
  type KeptBackup,
} from '../../../libs/backup/index.js';
import type {
  BackupCause,
  BackupPlanView,
  BackupRunView,
  BackupsView,
  ChangeBackupPlan,
} from '../../../libs/contracts/index.js';
import { change, differences, sealedFrom, writeVersion } from '../../../libs/store/index.js';
import type { SignedIn } from '../access/sessions.js';
import { refuse } from '../http/refusals.js';
import { CONFIG, type ServerConfig } from '../serverConfig.js';

type Plan = Omit<BackupPlanView, 'timeZone'>;

@Injectable()
export class Backups {
  constructor(@Inject(CONFIG) private readonly config: ServerConfig) {}

  async all(): Promise<BackupsView> {
    const { database, backups } = this.config;
    const [plan, running, last, files] = await Promise.all([
      this.#plan(),
      database.prisma.backupRun.findMany({ where: { state: 'running' }, orderBy: { startedAt: 'desc' } }),
      database.prisma.backupRun.findFirst({
        where: { state: { not: 'running' } },
        orderBy: { startedAt: 'desc' },
      }),
      keptBackups(backups.folder),
    ]);
    return {
      folder: backups.folder,
      plan,
      running: running.map(presentRun),
      failed: last?.state === 'failed' ? presentRun(last) : null,
      files: files.map(({ at, ...file }) => ({ ...file, at: at.toISOString() })),
    };
  }

  async make(by: SignedIn): Promise<BackupsView> {
    const running = await this.config.database.prisma.backupRun.count({ where: { state: 'running' } });
    if (running > 0)
      throw refuse.wrong('backup-running', 'A backup is being made already.', 'Wait until it is there.');
    await change(this.config.database, by, (made) => requestBackup(made, 'by-hand'));
    return this.all();
  }

  async changePlan(ask: z.output<typeof ChangeBackupPlan>, by: SignedIn): Promise<BackupsView> {
    const { version, ...data } = ask;
    await change(this.config.database, by, async (made) => {
      const { timeZone: _, ...defaults } = await this.#plan();
      await made.tx.backupPlan.createMany({ data: [{ id: 1, ...defaults }], skipDuplicates: true });
      const { before, after } = await writeVersion<Plan & { id: number }>(
        made.tx.backupPlan,
        1,
        version,
        data,
      );
      const sentence = 'changed when backups are made';
      const difference = differences(before, after);
      made.record({ action: 'backup-plan', subject: 'backup', subjectId: 'plan', sentence, ...difference });
      made.publish('team', 'backups-changed', { by: by.name, sentence });
    });
    return this.all();
  }

  async send(name: string, by: SignedIn, reply: FastifyReply): Promise<void> {
    const file = await this.#find(name);
    // Everything is in it, also what somebody who listens blind must not be told of.
    const sealed = await sealedFrom(this.config.database.prisma, by.id);
    if (sealed.units.size > 0) throw refuse.sealed();
    await this.#tell(name, by, 'downloaded a backup');
    await reply
      .header('content-type', 'application/zip')
      .header('content-length', file.bytes)
      .header('content-disposition', `attachment; filename="${file.name}"`)
      .header('x-content-type-options', 'nosniff')
      .header('cache-control', 'private, no-store')
      .send(createReadStream(path.join(this.config.backups.folder, file.name)));
  }

  async remove(name: string, by: SignedIn): Promise<void> {
    const file = await this.#find(name);
    await removeBackup(this.config.backups.folder, file.name);
    await this.#tell(name, by, 'removed a backup');
  }

  async #find(name: string): Promise<KeptBackup> {
    const found = (await keptBackups(this.config.backups.folder)).find((file) => file.name === name);
    if (!found) throw refuse.notFound('backup');
    return found;
  }

  async #plan(): Promise<BackupPlanView> {
    const { prisma } = this.config.database;
    const [{ nightly, at, keepDaily, keepWeekly, version }, installation] = await Promise.all([
      backupPlan(prisma),
      prisma.installation.findUnique({ where: { id: 1 } }),
    ]);
    return { nightly, at, keepDaily, keepWeekly, version, timeZone: installation?.timeZone ?? 'UTC' };
  }

  async #tell(name: string, by: SignedIn, doing: string): Promise<void> {
    await change(this.config.database, by, (made) => {
      const sentence = `${doing}: ${name}`;
      made.record({ action: 'backup', subject: 'backup', subjectId: name, sentence });
      made.publish('team', 'backups-changed', { by: by.name, sentence });
      return Promise.resolve();
    });
  }
}

function presentRun(run: {
  id: string;
  cause: string;
  state: BackupRunView['state'];
  askedBy: string;
  startedAt: Date;
  finishedAt: Date | null;
  reason: string | null;
}): BackupRunView {
  return {
    id: run.id,
    cause: run.cause as BackupCause,
    state: run.state,
    askedBy: run.askedBy,
    startedAt: run.startedAt.toISOString(),
    finishedAt: run.finishedAt?.toISOString() ?? null,
    reason: run.reason,
  };
}
