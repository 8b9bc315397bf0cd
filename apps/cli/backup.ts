/** `npm run backup -- FILE` and `npm run restore -- FILE`: everything an installation has, as one file, and back. */
import path from 'node:path';
import { backUpHome, backupSettings, restoreHome } from '../../libs/backup/index.js';
import { homeFolder, takeSecretKey } from '../../libs/store/index.js';

const say = (line: string): void => void process.stderr.write(`${line}\n`);
const projectFolder = path.resolve(import.meta.dirname, '..', '..', '..');

/** @returns exit code: 0 done, 1 not done (the reason is said, nothing half is left), 2 wrong use */
export async function backup(argv: readonly string[]): Promise<number> {
  return withFile(
    argv,
    'backup',
    'Writes everything of a running or stopped Sojourn to one new file.',
    async (file) => {
      const { bytes, rows, manifest } = await backUpHome(wholeHome(), file);
      const { tables, files, missing } = manifest;
      if (missing.length > 0)
        say(`${missing.length} files that the database names are not in the store: ${missing.join(', ')}`);
      process.stdout.write(
        `wrote ${file}: ${rows} rows of ${tables.length} tables, ${files.length} files, ${(bytes / 1e6).toFixed(1)} MB. ` +
          'It holds everything unpublished: keep it safe.\n',
      );
    },
  );
}

export async function restore(argv: readonly string[]): Promise<number> {
  return withFile(
    argv,
    'restore',
    'Fills an empty home (SOJOURN_HOME) with what a backup holds.',
    async (file) => {
      const keyFile = process.env['SOJOURN_SECRET_KEY_FILE'];
      if (keyFile) await takeSecretKey(homeFolder(process.env), keyFile);
      const { tables, files, missing, madeAt } = await restoreHome(wholeHome(), file);
      const rows = tables.reduce((sum, table) => sum + table.rows, 0);
      if (missing.length > 0)
        say(`${missing.length} files were missing when the backup was made: ${missing.join(', ')}`);
      process.stdout.write(
        `restored ${rows} rows and ${files.length} files as they were on ${madeAt} into ${homeFolder(process.env)}\n`,
      );
      if (!keyFile && !process.env['SOJOURN_SECRET_KEY']) {
        say(
          'The keys of webhooks are sealed with the secret key of the house they came from, which no backup holds. ' +
            'Where there are any, put that key (the file secret-key of the old home) into this home, or set them anew.',
        );
      }
    },
  );
}

function wholeHome() {
  const folder = homeFolder(process.env);
  const settings = backupSettings(process.env, path.join(folder, 'backups'), projectFolder);
  return { homeFolder: folder, env: process.env, settings, say };
}

async function withFile(
  argv: readonly string[],
  command: string,
  about: string,
  work: (file: string) => Promise<void>,
): Promise<number> {
  const [file] = argv;
  const usage = `Usage: npm run ${command} -- FILE\n\n${about}\n`;
  if (file === '--help') {
    process.stdout.write(usage);
    return 0;
  }
  if (file === undefined || argv.length > 1 || file.startsWith('-')) {
    process.stderr.write(usage);
    return 2;
  }
  try {
    await work(file);
    return 0;
  } catch (error) {
    if (process.env['SOJOURN_TRACE']) throw error;
    say((error as Error).message);
    return 1;
  }
}
