/** What may happen to a running installation. Each strikes a world and gives back the world that goes on. */
import { connect, type Socket } from 'node:net';
import { setTimeout as sleep } from 'node:timers/promises';
import type { BackEnd } from '../seams/installation.js';
import { databasePid, startAll, withDatabase, type World } from './world.js';

export interface Fault {
  readonly name: string;
  readonly on: readonly BackEnd[];
  readonly strike: (world: World, random: () => number) => Promise<World>;
}

const BOTH: readonly BackEnd[] = ['embedded', 'redis-and-postgres'];
const HALF_OPEN = 60;

export const faults: readonly Fault[] = [
  { name: 'server killed', on: BOTH, strike: killServer },
  { name: 'worker killed', on: ['redis-and-postgres'], strike: killWorker },
  { name: 'stopped and started', on: BOTH, strike: restart },
  { name: 'database killed', on: ['embedded'], strike: killDatabase },
  { name: 'database connections cut', on: BOTH, strike: cutConnections },
  { name: 'queue store emptied', on: ['redis-and-postgres'], strike: emptyRedis },
  { name: 'machine asleep', on: BOTH, strike: pause },
  { name: 'half-open and slow clients', on: BOTH, strike: halfOpen },
];

async function killServer(world: World): Promise<World> {
  await world.server.kill();
  if (world.worker === world.server)
    return { ...world, ...(await startAll(world.backEnd, world.installation)) };
  return { ...world, server: await world.installation.start({ SOJOURN_ROLE: 'api' }) };
}

async function killWorker(world: World): Promise<World> {
  await world.worker.kill();
  return { ...world, worker: await world.installation.start({ SOJOURN_ROLE: 'worker' }) };
}

async function restart(world: World): Promise<World> {
  const codes = [await world.server.stop()];
  if (world.worker !== world.server) codes.push(await world.worker.stop());
  if (codes.some((code) => code !== 0)) throw new Error(`A stop ended with ${codes.join(' and ')}.`);
  return { ...world, ...(await startAll(world.backEnd, world.installation)) };
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

/** Longer than a job's lock lasts: on waking, others may have taken its jobs. */
async function pause(world: World, random: () => number): Promise<World> {
  const pids = [...new Set([world.server.pid, world.worker.pid])];
  for (const pid of pids) process.kill(pid, 'SIGSTOP');
  await sleep(1000 + 11_000 * random());
  for (const pid of pids) process.kill(pid, 'SIGCONT');
  return world;
}

/** Connections that say half a thing and stay, some that are torn. */
async function halfOpen(world: World, random: () => number): Promise<World> {
  const { hostname, port } = new URL(world.server.url);
  const sockets = await Promise.all(
    Array.from(
      { length: HALF_OPEN },
      () =>
        new Promise<Socket>((resolve, reject) => {
          const socket = connect(Number(port), hostname, () => {
            socket.write(
              `PUT /api/sets/${world.unitId}/files?name=slow.csv HTTP/1.1\r\nHost: ${hostname}\r\n` +
                `Cookie: ${world.cookie}\r\nContent-Type: application/octet-stream\r\nContent-Length: 1000000\r\n\r\nhalf`,
            );
            resolve(socket);
          });
          socket.once('error', reject);
        }),
    ),
  );
  for (const socket of sockets) socket.on('error', () => socket.destroy());
  await sleep(200 + 800 * random());
  for (const [at, socket] of sockets.entries()) {
    if (at % 2 === 0) socket.resetAndDestroy();
    else socket.end();
  }
  return world;
}
