/** Clients that take up a connection and do next to nothing with it: they must neither hold the others nor grow memory. */
import { readFile } from 'node:fs/promises';
import { connect, type Socket } from 'node:net';
import { setTimeout as sleep } from 'node:timers/promises';
import type { World } from './world.js';

const HALF_SENT = 40;
const NOT_READING = 20;
/** Answers each of those asks for and does not take. */
const ASKED_FOR = 40;
/** Far below what those answers come to; common practice, no source. */
const MOST_GROWTH_MB = 250;

export async function slowClients(world: World, random: () => number): Promise<World> {
  const before = await memoryMb(world.server.pid);
  const { hostname, port } = new URL(world.server.url);
  const open = (first: string): Promise<Socket> =>
    new Promise((resolve, reject) => {
      const socket = connect(Number(port), hostname, () => {
        socket.write(first);
        resolve(socket);
      });
      socket.once('error', reject);
    });
  const head = `Host: ${hostname}\r\nCookie: ${world.cookie}\r\n`;
  const put =
    `PUT /api/sets/${world.unitId}/files?name=slow.csv HTTP/1.1\r\n${head}` +
    `Content-Type: application/octet-stream\r\nContent-Length: 1000000\r\n\r\nhalf`;
  const get = `GET /api/openapi.json HTTP/1.1\r\n${head}\r\n`.repeat(ASKED_FOR);
  const slow = await Promise.all(Array.from({ length: HALF_SENT }, () => open(put)));
  const deaf = await Promise.all(Array.from({ length: NOT_READING }, () => open(get)));
  for (const socket of [...slow, ...deaf]) socket.on('error', () => socket.destroy());
  for (const socket of deaf) socket.pause();
  const patienceEnds = Date.now() + 500 + 1500 * random();
  // A byte now and then.
  for (; Date.now() < patienceEnds; await sleep(250)) for (const socket of slow) socket.write('x');
  const grown = (await memoryMb(world.server.pid)) - before;
  for (const [at, socket] of [...slow, ...deaf].entries()) {
    if (at % 2 === 0) socket.resetAndDestroy();
    else socket.end();
  }
  if (grown > MOST_GROWTH_MB) throw new Error(`Slow clients made the server grow by ${grown.toFixed(0)} MB.`);
  return world;
}

/** Resident memory; 0 where the system does not tell. */
async function memoryMb(pid: number): Promise<number> {
  const status = await readFile(`/proc/${pid}/status`, 'utf8').catch(() => '');
  return Number(/VmRSS:\s+(\d+) kB/.exec(status)?.[1] ?? 0) / 1024;
}
