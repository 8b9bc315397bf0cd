/** Backups as the installation's own work: asked for by the owner or the clock, made once, told, and tidied after. */
import path from 'node:path';
import { DateTime } from 'luxon';
import type { BlobStore } from '../blobs/blobStore.js';
import type { BackupCause } from '../contracts/index.js';
import { change, theHouse, type Change, type Database, type Tx } from '../store/index.js';
import { backupName, keptBackups, makeBackupFolder, removeBackup, type KeptBackup } from './backupFolder.js';
import { makeBackup } from './makeBackup.js';
import { noLongerKept } from './retention.js';
import type { BackupSettings } from './settings.js';

export const backupPlanDefaults = { nightly: true, at: '03:00', keepDaily: 7, keepWeekly: 4, version: 0 };

export async function backupPlan(tx: Tx) {
  return (await tx.backupPlan.findUnique({ where: { id: 1 } })) ?? backupPlanDefaults;
}

/** Makes the run and asks for the job that does it. */
export async function requestBackup(made: Change, cause: BackupCause): Promise<string> {
  const { id } = await made.tx.backupRun.create({ data: { cause, askedBy: made.actor.name } });
  made.request('make-backup', `backup-${id}`, { runId: id });
  tell(made, id, cause === 'nightly' ? 'began the nightly backup' : 'asked for a backup');
  return id;
}

function tell(made: Change, subjectId: string, sentence: string, reason?: string): void {
  made.record({
    action: 'backup',
    subject: 'backup',
    subjectId,
    sentence,
    ...(reason === undefined ? {} : { reason }),
  });
  made.publish('team', 'backups-changed', { by: made.actor.name, sentence });
}

/**
 * The moment of the last nightly backup that should have been made, and the day it belongs to.
 * @param zone where the team is: its night
 */
export function lastNight(now: Date, at: string, zone: string): { readonly day: string; readonly due: Date } {
  const here = DateTime.fromJSDate(now, { zone });
  const [hour = 0, minute = 0] = at.split(':').map(Number);
  const today = here.set({ hour, minute, second: 0, millisecond: 0 });
  const due = today <= here ? today : today.minus({ days: 1 });
  return { day: due.toISODate() ?? '', due: due.toJSDate() };
}

/** Once a night over all workers; one that was missed while nothing ran is made up for. */
export async function scheduleBackup(database: Database, now: Date): Promise<boolean> {
  return change(database, theHouse, async (made) => {
    const installation = await made.tx.installation.findUnique({ where: { id: 1 } });
    const plan = await backupPlan(made.tx);
    if (!installation || !plan.nightly) return false;
    const { day, due } = lastNight(now, plan.at, installation.timeZone);
    // A house that was set up since has had no night yet.
    if (installation.createdAt > due) return false;
    if (!(await made.once(`nightly-backup:${day}`))) return false;
    await requestBackup(made, 'nightly');
    return true;
  });
}

export interface BackupWorld {
  readonly database: Database;
  readonly blobs: BlobStore;
  readonly backups: BackupSettings;
  /** Breaks off what is being made; the job is done again from its beginning. */
  readonly leaving?: AbortSignal;
}

/** The job: run twice, it makes one file. */
export async function runBackup(
  { database, blobs, backups, leaving }: BackupWorld,
  runId: string,
): Promise<void> {
  const run = await database.prisma.backupRun.findUnique({ where: { id: runId } });
  if (run?.state !== 'running') return;
  const name = backupName(run.cause as BackupCause, run.startedAt);
  const file = path.join(backups.folder, name);
  await makeBackupFolder(backups.folder);
  if (!(await keptBackup(backups.folder, name)))
    await makeBackup({ databaseUrl: database.url, blobs, application: backups.application }, file, leaving);
  const bytes = (await keptBackup(backups.folder, name))?.bytes ?? 0;
  await endRun(database, runId, { fileName: name, bytes });
  if (run.cause === 'nightly') await tidyNightly(database, backups.folder);
}

/** With the reason for the owner; the backups there are stay. One whose file came into place was made all the same. */
export async function giveUpBackup(
  { database, backups }: Pick<BackupWorld, 'database' | 'backups'>,
  runId: string,
  reason: string,
): Promise<void> {
  const run = await database.prisma.backupRun.findUniqueOrThrow({ where: { id: runId } });
  const made = await keptBackup(backups.folder, backupName(run.cause as BackupCause, run.startedAt));
  await endRun(database, runId, made ? { fileName: made.name, bytes: made.bytes } : { reason });
}

async function endRun(
  database: Database,
  runId: string,
  end: { fileName: string; bytes: number } | { reason: string },
): Promise<void> {
  const failed = 'reason' in end;
  await change(database, theHouse, async (made) => {
    const ended = await made.tx.backupRun.updateMany({
      where: { id: runId, state: 'running' },
      data: { ...end, state: failed ? 'failed' : 'done', finishedAt: new Date() },
    });
    if (ended.count === 0) return;
    tell(made, runId, failed ? 'could not make a backup' : 'made a backup', failed ? end.reason : undefined);
  });
}

export async function tidyNightly(database: Database, folder: string): Promise<void> {
  const nightly = (await keptBackups(folder)).filter(({ cause }) => cause === 'nightly');
  for (const { name } of noLongerKept(nightly, await backupPlan(database.prisma)))
    await removeBackup(folder, name);
}

const keptBackup = async (folder: string, name: string): Promise<KeptBackup | undefined> =>
  (await keptBackups(folder)).find((kept) => kept.name === name);
