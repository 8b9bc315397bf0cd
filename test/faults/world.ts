/**
 * A real installation under the campaign: on the embedded database one process, as a team runs it at home; on Redis
 * and PostgreSQL a server and a worker apart, as on several machines, each reached over links that can go dead.
 */
import { existsSync } from 'node:fs';
import { readFile, writeFile } from 'node:fs/promises';
import path from 'node:path';
import { pathToFileURL } from 'node:url';
import { setTimeout as sleep } from 'node:timers/promises';
import type { Database } from '../../libs/store/database.js';
import { databaseOf } from '../seams/databaseOf.js';
import {
  makeInstallation,
  type BackEnd,
  type Installation,
  type RunningInstallation,
} from '../seams/installation.js';
import { openReceiver, type Receiver } from '../seams/sinks.js';
import { makeUnit, setUpOwner, visit, type Visitor } from '../seams/visitor.js';
import { mountDisk, unmountDisk } from './disk.js';
import { openLink, type Link } from './link.js';

const WELL_PATIENCE_MS = 60_000;
const WELL_EVERY_MS = 20;
/** For the files, the backups and the write-ahead log of some hundred faults. */
const DISK_MEGABYTES = 2000;

export interface World {
  readonly backEnd: BackEnd;
  readonly installation: Installation;
  readonly server: RunningInstallation;
  /** The same as the server where one process does both. */
  readonly worker: RunningInstallation;
  readonly surroundings: Surroundings;
  readonly loanId: string;
  readonly unitId: string;
  /** The maker whose notes are edited over and over. */
  readonly editedMakerId: string;
  readonly cookie: string;
}

/** What stands around the processes, and can be made to fail. */
interface Surroundings {
  readonly links: Readonly<Partial<Record<'database' | 'redis', Link>>>;
  /** Holds by how much the clock of all processes is off, ms. */
  readonly clockFile: string;
  /** The home lies on a disk of its own. */
  readonly hasDisk: boolean;
  /** Takes the messages that people have sent to an address of theirs. */
  readonly receiver: Receiver;
  readonly env: NodeJS.ProcessEnv;
}

export async function openWorld(backEnd: BackEnd): Promise<World> {
  const installation = await makeInstallation(backEnd);
  const surroundings = await surround(installation);
  try {
    return await begin(backEnd, installation, surroundings);
  } catch (error) {
    await closeWorld({ installation, surroundings });
    throw error;
  }
}

async function begin(
  backEnd: BackEnd,
  installation: Installation,
  surroundings: Surroundings,
): Promise<World> {
  // The first start makes the database.
  const server = await startOne({ installation, surroundings }, backEnd === 'embedded' ? 'all' : 'api');
  const worker = backEnd === 'embedded' ? server : await startOne({ installation, surroundings }, 'worker');
  const host = await setUpOwner(server.url);
  const { unit, maker, loan } = await makeUnit(host);
  const { version } = await host.client.notifications();
  await host.client.changeNotifications({
    version,
    webhookUrl: surroundings.receiver.url,
  });
  return {
    backEnd,
    installation,
    surroundings,
    server,
    worker,
    loanId: loan.id,
    unitId: unit.id,
    editedMakerId: maker.id,
    cookie: host.cookie(),
  };
}

async function surround(installation: Installation): Promise<Surroundings> {
  const { DATABASE_URL, REDIS_URL } = installation.env;
  const hasDisk = mountDisk(installation.home, DISK_MEGABYTES);
  const receiver = await openReceiver();
  const clockFile = `${installation.home}-clock`;
  const preload = pathToFileURL(path.join(projectRoot(import.meta.dirname), 'test/faults/shiftedClock.mjs'));
  const env: NodeJS.ProcessEnv = {
    NODE_OPTIONS: `${process.env['NODE_OPTIONS'] ?? ''} --import=${preload.href}`.trim(),
    FAULTS_CLOCK_FILE: clockFile,
    SOJOURN_WEBHOOK_TRUSTED: '127.0.0.0/8',
  };
  if (!DATABASE_URL || !REDIS_URL) return { links: {}, clockFile, hasDisk, receiver, env };
  const links = { database: await linkTo(DATABASE_URL), redis: await linkTo(REDIS_URL) };
  env['DATABASE_URL'] = through(DATABASE_URL, links.database);
  env['REDIS_URL'] = through(REDIS_URL, links.redis);
  return { links, clockFile, hasDisk, receiver, env };
}

const linkTo = (url: string): Promise<Link> => openLink(Number(new URL(url).port));

function through(url: string, link: Link): string {
  const other = new URL(url);
  other.port = String(link.port);
  return other.href;
}

/** The same from here and from a build of here. */
export function projectRoot(folder: string): string {
  return existsSync(path.join(folder, 'package.json')) ? folder : projectRoot(path.dirname(folder));
}

export async function closeWorld({ installation, surroundings }: Startable): Promise<void> {
  await setClock(surroundings, 0);
  // The processes end, then the disk can go, then the folder.
  const gone = installation.remove().catch((error: NodeJS.ErrnoException) => {
    // The folder itself is still the place of a disk.
    if (!surroundings.hasDisk || error.code !== 'EBUSY') throw error;
  });
  await gone;
  if (surroundings.hasDisk) {
    unmountDisk(installation.home);
    await installation.remove();
  }
  for (const link of Object.values(surroundings.links)) await link.close();
  await surroundings.receiver.close();
}

export async function setClock({ clockFile }: Surroundings, aheadMs: number): Promise<void> {
  await writeFile(clockFile, String(aheadMs));
}

/** The owner, wherever the server is now. */
export function hostOf({ server, cookie }: World): Visitor {
  return visit(server.url, cookie);
}

type Startable = Pick<World, 'installation' | 'surroundings'>;

export const startOne = ({ installation, surroundings }: Startable, role: 'all' | 'api' | 'worker') =>
  installation.start({ ...surroundings.env, SOJOURN_ROLE: role });

export async function startAll(world: Startable & Pick<World, 'backEnd'>) {
  if (world.backEnd === 'embedded') {
    const both = await startOne(world, 'all');
    return { server: both, worker: both };
  }
  const [server, worker] = await Promise.all([startOne(world, 'api'), startOne(world, 'worker')]);
  return { server, worker };
}

export async function databasePid(installation: Installation): Promise<number> {
  const lock = await readFile(path.join(installation.home, 'database', 'postmaster.pid'), 'utf8');
  return Number(lock.split('\n')[0]);
}

/** Looks into the database itself, past all of the product's code and of the links. */
export async function withDatabase<T>(world: World, look: (database: Database) => Promise<T>): Promise<T> {
  const database = await databaseOf(world.installation);
  try {
    return await look(database);
  } finally {
    await database.close();
  }
}

/** Until the server says twice in a row that its database and its queues answer. */
export async function untilWell({ server }: World): Promise<void> {
  let well = 0;
  for (const patienceEnds = Date.now() + WELL_PATIENCE_MS; well < 2; await sleep(WELL_EVERY_MS)) {
    const answer = await fetch(`${server.url}/health/ready`, { signal: AbortSignal.timeout(10_000) }).catch(
      () => undefined,
    );
    well = answer?.ok ? well + 1 : 0;
    if (Date.now() > patienceEnds)
      throw new Error(
        `Not well again within ${WELL_PATIENCE_MS / 1000} s: ${(await answer?.text()) ?? 'no answer'}`,
      );
  }
}
