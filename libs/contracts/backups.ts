/** Backups: what there is, what is being made, and when they are made by themselves. */
import { z } from 'zod';

export const backupCauses = ['nightly', 'by-hand', 'before-upgrade'] as const;
export type BackupCause = (typeof backupCauses)[number];
export type BackupState = 'running' | 'done' | 'failed';

export interface BackupFileView {
  name: string;
  cause: BackupCause;
  at: string;
  bytes: number;
}

export interface BackupRunView {
  id: string;
  cause: BackupCause;
  state: BackupState;
  askedBy: string;
  startedAt: string;
  finishedAt: string | null;
  /** Why it failed. */
  reason: string | null;
}

export interface BackupPlanView {
  nightly: boolean;
  /** A time of day where the team is, such as 03:00. */
  at: string;
  timeZone: string;
  keepDaily: number;
  keepWeekly: number;
  version: number;
}

export interface BackupsView {
  /** The folder of this server that holds them. */
  folder: string;
  plan: BackupPlanView;
  running: BackupRunView[];
  /** The last one, when it failed. */
  failed: BackupRunView | null;
  /** Newest first. */
  files: BackupFileView[];
}

export const ChangeBackupPlan = z.object({
  version: z.number().int(),
  nightly: z.boolean().optional(),
  at: z
    .string()
    .regex(/^([01]\d|2[0-3]):[0-5]\d$/, 'Give a time of day such as 03:00.')
    .optional(),
  keepDaily: z.number().int().min(1, 'Keep at least one.').max(366).optional(),
  keepWeekly: z.number().int().min(0).max(520).optional(),
});
export type ChangeBackupPlan = z.input<typeof ChangeBackupPlan>;
