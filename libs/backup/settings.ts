/** What backups need to know of the installation: where they go, and which version makes them. */
import { readFileSync } from 'node:fs';
import path from 'node:path';

export interface BackupSettings {
  readonly folder: string;
  readonly application: string;
  readonly migrationsFolder: string;
  /** Whether an upgrade makes one first. */
  readonly beforeUpgrade: boolean;
}

/** @param projectFolder the folder that holds the program itself */
export function backupSettings(
  env: NodeJS.ProcessEnv,
  defaultFolder: string,
  projectFolder: string,
): BackupSettings {
  const about = JSON.parse(readFileSync(path.join(projectFolder, 'package.json'), 'utf8')) as {
    version: string;
  };
  return {
    folder: path.resolve(env['SOJOURN_BACKUPS'] || defaultFolder),
    application: about.version,
    migrationsFolder: path.join(projectFolder, 'prisma', 'migrations'),
    beforeUpgrade: env['SOJOURN_UPGRADE_BACKUP'] !== '0',
  };
}
