/**
 * A real installation under the campaign: on the embedded database one process, as a team runs it at home; on Redis
 * and PostgreSQL a server and a worker apart, as on several machines.
 */
import { readFile } from 'node:fs/promises';
import path from 'node:path';
import { setTimeout as sleep } from 'node:timers/promises';
import type { Database } from '../../libs/store/database.js';
import { databaseOf } from '../seams/databaseOf.js';
import {
  makeInstallation,
  type BackEnd,
  type Installation,
  type RunningInstallation,
} from '../seams/installation.js';
import { makeUnit, setUpOwner, visit, type Visitor } from '../seams/visitor.js';

const WELL_PATIENCE_MS = 60_000;
const WELL_EVERY_MS = 20;

export interface World {
  readonly backEnd: BackEnd;
  readonly installation: Installation;
  readonly server: RunningInstallation;
  /** The same as the server where one process does both. */
  readonly worker: RunningInstallation;
  readonly unitId: string;
  /** The maker whose notes are edited over and over. */
  readonly editedMakerId: string;
  readonly cookie: string;
}

export async function openWorld(backEnd: BackEnd): Promise<World> {
  const installation = await makeInstallation(backEnd);
  const { server, worker } = await startAll(backEnd, installation);
  const host = await setUpOwner(server.url);
  const { unit, maker } = await makeUnit(host);
  return {
    backEnd,
    installation,
    server,
    worker,
    unitId: unit.id,
    editedMakerId: maker.id,
    cookie: host.cookie(),
  };
}

/** The owner, wherever the server is now. */
export function hostOf({ server, cookie }: World): Visitor {
  return visit(server.url, cookie);
}

export async function startAll(backEnd: BackEnd, installation: Installation) {
  if (backEnd === 'embedded') {
    const both = await installation.start();
    return { server: both, worker: both };
  }
  const server = await installation.start({ SOJOURN_ROLE: 'api' });
  const worker = await installation.start({ SOJOURN_ROLE: 'worker' });
  return { server, worker };
}

export async function databasePid(installation: Installation): Promise<number> {
  const lock = await readFile(path.join(installation.home, 'database', 'postmaster.pid'), 'utf8');
  return Number(lock.split('\n')[0]);
}

/** Looks into the database itself, past all of the product's code. */
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
