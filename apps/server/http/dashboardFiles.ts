/** The built dashboard: its files, and its page for every address a person may type. */
import path from 'node:path';
import fastifyStatic from '@fastify/static';
import type { NestFastifyApplication } from '@nestjs/platform-fastify';

const ASSET_LIFE_S = 365 * 24 * 3600;

export async function serveDashboard(app: NestFastifyApplication, folder: string): Promise<void> {
  await app.register(fastifyStatic, {
    root: folder,
    wildcard: false,
    index: false,
    setHeaders: (reply, file) => {
      // Names of built assets carry their hash; the page itself is asked for anew.
      const lasting = file.includes(`${path.sep}assets${path.sep}`);
      void reply.header('cache-control', lasting ? `public, max-age=${ASSET_LIFE_S}, immutable` : 'no-cache');
    },
  });
  const fastify = app.getHttpAdapter().getInstance();
  fastify.get('/', (_request, reply) => reply.sendFile('index.html'));
  // The page itself holds nothing of a preview: what it shows is asked for with the secret, and kept nowhere.
  fastify.get('/preview', (_request, reply) =>
    reply.header('x-robots-tag', 'noindex, nofollow').sendFile('index.html'),
  );
  fastify.get('/*', (request, reply) => {
    const page =
      !request.url.startsWith('/api/') &&
      !request.url.startsWith('/health/') &&
      !/\.[a-z0-9]+$/.test(request.url.split('?')[0] ?? '');
    if (page) return reply.sendFile('index.html');
    return reply.status(404).send({ code: 'http-404', message: 'There is nothing at this address.' });
  });
}
