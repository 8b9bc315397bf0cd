/** How the installation itself is: its queues, what was given up, its storage, the processes at work. */
import { z } from 'zod';
import type { QueueName } from './jobs.js';

export const failureKinds = [
  'analysis',
  'recomputation',
  'bundle',
  'placing',
  'message',
  'backup',
  'house',
] as const;
export type FailureKind = (typeof failureKinds)[number];

export interface QueueView {
  queue: QueueName;
  waiting: number;
  running: number;
  /** Waits for its time: a message to be tried again, tonight's work. */
  later: number;
  /** How long the one that is next has waited, in seconds; null when none waits. */
  waitedSeconds: number | null;
}
export interface FailureView {
  kind: FailureKind;
  id: string;
  what: string;
  reason: string;
  since: string;
}
export interface StorageView {
  databaseBytes: number;
  /** Files as people sent them, each once however often it was sent. */
  filesBytes: number;
  files: number;
  /** Of the disk that uploads arrive on; null where it does not say. */
  freeBytes: number | null;
  diskBytes: number | null;
  largestUnits: { unitId: string; name: string; bytes: number }[];
}
export interface ProcessView {
  id: string;
  role: 'all' | 'api' | 'worker';
  machine: string;
  version: string;
  algorithm: string;
  node: string;
  threads: number;
  memoryBytes: number;
  startedAt: string;
  seenAt: string;
  alive: boolean;
}
export interface VersionsView {
  product: string;
  algorithm: string;
  node: string;
  postgres: string;
  /** Null where jobs wait in PostgreSQL. */
  redis: string | null;
  migrations: number;
  lastMigration: string;
}
export interface WarningView {
  code: string;
  /** What is wrong. */
  message: string;
  /** What to do about it. */
  remedy: string;
}
export interface OperationsView {
  at: string;
  warnings: WarningView[];
  queues: QueueView[];
  failures: FailureView[];
  storage: StorageView;
  versions: VersionsView;
  processes: ProcessView[];
  lastBackup: { at: string; bytes: number } | null;
}

export const RetryFailure = z.strictObject({
  kind: z.enum(failureKinds),
  id: z.string().min(1).max(1000),
});

/** How long an analysis will wait for its turn. */
export interface WaitingView {
  /** How many come before it. */
  ahead: number;
  /** Null when it begins within about a minute, or when nothing says how long one takes. */
  aboutMinutes: number | null;
  /** False: no process computes now; it begins when one does. */
  computing: boolean;
}
