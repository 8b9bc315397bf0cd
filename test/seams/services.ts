/** What an installation of several machines runs on, standing for services the team runs elsewhere. */
import { spawn } from 'node:child_process';
import { mkdtemp, rm } from 'node:fs/promises';
import type { AddressInfo } from 'node:net';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { startEmbeddedDatabase } from '../../libs/store/embeddedDatabase.js';
import { openHome } from '../../libs/store/home.js';
import type { BackEnd } from './installation.js';
import { end, freePort } from './startedProcess.js';

export interface Services {
  readonly env: NodeJS.ProcessEnv;
  stop(): Promise<void>;
}

/** A PostgreSQL of its own and a Redis; for many machines storage of the S3 protocol and a folder for backups too. */
export async function startServices(backEnd: BackEnd): Promise<Services> {
  const folder = await mkdtemp(path.join(tmpdir(), 'sojourn-services-'));
  const database = await startEmbeddedDatabase(await openHome(folder), () => undefined);
  const redis = await startRedis(folder);
  const storage = backEnd === 'many-machines' ? await startStorage(path.join(folder, 'storage')) : undefined;
  return {
    env: { DATABASE_URL: database.url, REDIS_URL: redis.url, ...storage?.env },
    stop: async () => {
      await storage?.stop();
      await redis.stop();
      await database.stop();
      await rm(folder, { recursive: true, force: true });
    },
  };
}

async function startRedis(folder: string): Promise<{ url: string; stop(): Promise<void> }> {
  const port = await freePort();
  const settings = {
    port: String(port),
    save: '',
    appendonly: 'no',
    'maxmemory-policy': 'noeviction',
    dir: folder,
  };
  const options = Object.entries(settings).flatMap(([name, value]) => [`--${name}`, value]);
  const redis = spawn('redis-server', options, { stdio: 'ignore' });
  return { url: `redis://127.0.0.1:${port}`, stop: async () => void (await end(redis, 'SIGTERM')) };
}

async function startStorage(directory: string): Promise<Services> {
  const { default: S3rver } = await import('s3rver');
  const server = new S3rver({ port: 0, address: '127.0.0.1', directory, silent: true });
  const { port } = (await server.run()) as AddressInfo;
  return {
    env: {
      SOJOURN_S3_ENDPOINT: `http://127.0.0.1:${port}`,
      SOJOURN_S3_BUCKET: 'sojourn',
      // The server's one built-in account.
      SOJOURN_S3_KEY: 'S3RVER',
      SOJOURN_S3_SECRET: 'S3RVER',
    },
    stop: () => server.close(),
  };
}
