/** Why a backup was not made or not restored: a sentence with what to do, and nothing was written. */
export class BackupRefused extends Error {
  readonly code = 'backup-refused';
}
