/** What whoever keeps the installation should do something about, in plain words; the gravest first. */
import type { OperationsView, ProcessView, WarningView } from '../../../libs/contracts/index.js';

const DISK_FULL_FROM = 0.9;
const WAITS_TOO_LONG_S = 600;
const OUTBOX_STUCK_S = 30;
const Day = 24 * 3600_000;
const BACKUP_OLD_MS = 3 * Day;

export interface Warned extends Omit<OperationsView, 'warnings' | 'at'> {
  readonly now: Date;
  /** Age of the oldest request that no queue has been handed yet, in seconds; null when there is none. */
  readonly outboxSeconds: number | null;
}

export function warningsOf(state: Warned): WarningView[] {
  return [
    ...diskWarnings(state),
    ...processWarnings(state.processes),
    ...queueWarnings(state),
    ...failureWarnings(state),
    ...backupWarnings(state),
  ];
}

function diskWarnings({ storage: { freeBytes, diskBytes } }: Warned): WarningView[] {
  if (freeBytes === null || diskBytes === null || diskBytes === 0) return [];
  const used = 1 - freeBytes / diskBytes;
  if (used < DISK_FULL_FROM) return [];
  return [
    {
      code: 'disk-filling',
      message: `The disk is ${Math.floor(used * 100)} % full.`,
      remedy:
        'Make room before uploads and backups are refused: remove old backups, or move to a larger disk.',
    },
  ];
}

function processWarnings(processes: readonly ProcessView[]): WarningView[] {
  const alive = processes.filter((one) => one.alive);
  const warnings: WarningView[] = [];
  if (!alive.some(({ role }) => role !== 'api')) {
    warnings.push({
      code: 'no-worker',
      message: 'No worker runs: nothing is computed, published or sent.',
      remedy: 'Start one (SOJOURN_ROLE=worker). What waits is kept and goes on by itself.',
    });
  }
  for (const { role, machine } of processes.filter((one) => !one.alive)) {
    const what = role === 'worker' ? 'A worker' : 'A server';
    warnings.push({
      code: 'process-silent',
      message: `${what} on ${machine} has fallen silent.`,
      remedy:
        'If it was not meant to end, look at that machine and start it again. Its work is taken up by the others.',
    });
  }
  if (new Set(alive.map(({ version, algorithm }) => `${version} ${algorithm}`)).size > 1) {
    warnings.push({
      code: 'mixed-versions',
      message: 'Processes of different versions are at work.',
      remedy: 'During an upgrade that is as it should be. Afterwards, restart those that are behind.',
    });
  }
  return warnings;
}

function queueWarnings({ queues, outboxSeconds }: Warned): WarningView[] {
  const warnings: WarningView[] = [];
  if (outboxSeconds !== null && outboxSeconds > OUTBOX_STUCK_S) {
    warnings.push({
      code: 'queue-away',
      message: 'Work that was asked for does not reach the queue.',
      remedy:
        'It is kept. Look whether the queue’s database or Redis answers; the server’s log says what it hears.',
    });
  }
  const analysis = queues.find(({ queue }) => queue === 'analysis');
  if ((analysis?.waitedSeconds ?? 0) > WAITS_TOO_LONG_S) {
    const minutes = Math.round((analysis?.waitedSeconds ?? 0) / 60);
    warnings.push({
      code: 'analyses-wait',
      message: `Analyses have waited for ${minutes} minutes.`,
      remedy:
        'They are done in turn. If that goes on, start another worker or give it more threads (SOJOURN_THREADS).',
    });
  }
  return warnings;
}

function failureWarnings({ failures }: Warned): WarningView[] {
  if (failures.length === 0) return [];
  const [one] = failures;
  return [
    {
      code: 'work-given-up',
      message:
        failures.length === 1 && one
          ? `${one.what}: given up.`
          : `${failures.length} pieces of work were given up.`,
      remedy: 'The reasons stand below; each can be tried again.',
    },
  ];
}

function backupWarnings({ lastBackup, now }: Warned): WarningView[] {
  if (lastBackup !== null && now.getTime() - new Date(lastBackup.at).getTime() <= BACKUP_OLD_MS) return [];
  return [
    {
      code: 'backup-old',
      message:
        lastBackup === null ? 'There is no backup yet.' : 'The last backup is more than three days old.',
      remedy: 'Make one under Backups, and see that one is made every night.',
    },
  ];
}
