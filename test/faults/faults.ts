/** What may happen to a running installation. Each strikes a world and gives back the world that goes on. */
import { setTimeout as sleep } from 'node:timers/promises';
import { connect } from 'node:net';
import type { BackEnd } from '../seams/installation.js';
import { boundaries, untilBegun } from './boundaries.js';
import { fillDisk } from './disk.js';
import type { Ledger } from './ledger.js';
import { slowClients } from './slowClients.js';
import { databasePid, setClock, startAll, startOne, withDatabase, type World } from './world.js';

export interface Fault {
  readonly name: string;
  readonly on: readonly BackEnd[];
  /** How often, against the others. */
  readonly weight: number;
  /** What must have begun for it to strike at; not part of the time to recover. */
  readonly before?: (world: World, random: () => number, ledger: Ledger) => Promise<void>;
  readonly strike: (world: World, random: () => number) => Promise<World>;
}

const BOTH: readonly BackEnd[] = ['embedded', 'redis-and-postgres'];
const APART: readonly BackEnd[] = ['redis-and-postgres'];
const Hour = 3_600_000;

export const faults: readonly Fault[] = [
  { name: 'server killed', on: BOTH, weight: 2, strike: killServer },
  { name: 'worker killed', on: APART, weight: 1, strike: killWorker },
  { name: 'killed at a step of its work', on: BOTH, weight: 4, before: untilAtStep, strike: killWorker },
  { name: 'stopped and started', on: BOTH, weight: 1, strike: restart },
  { name: 'database killed', on: ['embedded'], weight: 2, strike: killDatabase },
  { name: 'database connections cut', on: BOTH, weight: 2, strike: cutConnections },
  { name: 'way to the database dead', on: APART, weight: 1, strike: (world) => goDead(world, 'database') },
  { name: 'way to Redis dead', on: APART, weight: 1, strike: (world) => goDead(world, 'redis') },
  { name: 'queue store emptied', on: APART, weight: 2, strike: emptyRedis },
  { name: 'disk full', on: BOTH, weight: 1, strike: fullDisk },
  { name: 'clock jumps', on: BOTH, weight: 2, strike: jumpClock },
  { name: 'machine asleep', on: BOTH, weight: 1, strike: pause },
  { name: 'half-open and slow clients', on: BOTH, weight: 2, strike: slowClients },
];

async function killServer(world: World): Promise<World> {
  await world.server.kill();
  if (world.worker === world.server) return { ...world, ...(await startAll(world)) };
  return { ...world, server: await startOne(world, 'api') };
}

async function killWorker(world: World): Promise<World> {
  await world.worker.kill();
  if (world.worker === world.server) return { ...world, ...(await startAll(world)) };
  return { ...world, worker: await startOne(world, 'worker') };
}

/** Whoever is at the work goes at the moment its rows say that the step has begun. */
async function untilAtStep(world: World, random: () => number, ledger: Ledger): Promise<void> {
  const boundary = boundaries[Math.floor(random() * boundaries.length)];
  if (boundary) await untilBegun(world, ledger, boundary);
}

async function restart(world: World): Promise<World> {
  const stopped = [...new Set([world.server, world.worker])].map((one) => one.stop());
  const codes = await Promise.all(stopped);
  if (codes.some((code) => code !== 0)) throw new Error(`A stop ended with ${codes.join(' and ')}.`);
  return { ...world, ...(await startAll(world)) };
}

async function killDatabase(world: World): Promise<World> {
  process.kill(await databasePid(world.installation), 'SIGKILL');
  return world;
}

async function cutConnections(world: World): Promise<World> {
  await withDatabase(world, (database) =>
    database.pool.query(
      `select pg_terminate_backend(pid) from pg_stat_activity
       where pid <> pg_backend_pid() and backend_type = 'client backend'`,
    ),
  );
  return world;
}

async function goDead(world: World, end: 'database' | 'redis'): Promise<World> {
  world.surroundings.links[end]?.goDead();
  return world;
}

/** Everything Redis knew is gone, as after a restart without persistence. */
async function emptyRedis(world: World): Promise<World> {
  const { hostname, port } = new URL(world.installation.env['REDIS_URL'] ?? '');
  await new Promise<void>((resolve, reject) => {
    const socket = connect(Number(port), hostname, () => socket.write('FLUSHALL\r\n'));
    socket.once('error', reject);
    socket.once('data', () => socket.end());
    socket.once('close', () => resolve());
  });
  return world;
}

/** Where everything of the home lies, until somebody makes room. */
async function fullDisk(world: World, random: () => number): Promise<World> {
  if (!world.surroundings.hasDisk) throw new Error('No disk of its own could be mounted (only root may).');
  const makeRoom = await fillDisk(world.installation.home);
  await sleep(1000 + 2000 * random());
  await makeRoom();
  return world;
}

/** An hour or a day, forward or back, and later right again: the database's clock goes on as it was. */
async function jumpClock(world: World, random: () => number): Promise<World> {
  const ahead = (random() < 0.5 ? 1 : 24) * Hour * (random() < 0.5 ? 1 : -1);
  await setClock(world.surroundings, ahead);
  await sleep(1000 + 1500 * random());
  await setClock(world.surroundings, 0);
  return world;
}

/** At times longer than a job's lock lasts: on waking, others may have taken its jobs. */
async function pause(world: World, random: () => number): Promise<World> {
  const pids = [...new Set([world.server.pid, world.worker.pid])];
  for (const pid of pids) process.kill(pid, 'SIGSTOP');
  await sleep(random() < 0.5 ? 1000 + 2000 * random() : 9000 + 1000 * random());
  for (const pid of pids) process.kill(pid, 'SIGCONT');
  return world;
}
