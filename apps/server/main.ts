/** HTTP, sessions, sockets, feed. No arithmetic. */
import 'reflect-metadata';
import type { AddressInfo } from 'node:net';
import fastifyCookie from '@fastify/cookie';
import { NestFactory } from '@nestjs/core';
import { FastifyAdapter, type NestFastifyApplication } from '@nestjs/platform-fastify';
import { listen, relayOutbox } from '../../libs/store/index.js';
import { insistOnRules } from './access/everyRouteHasARule.js';
import { serveDashboard } from './http/dashboardFiles.js';
import { openApiDocument } from './http/openapi.js';
import { newRequestId, watchRequests } from './http/requestLines.js';
import { secureAnswers } from './http/security.js';
import { LiveSockets } from './live/liveSockets.js';
import { ResumableUploads } from './measurements/resumableUploads.js';
import { measureServer } from './operations/serverMetrics.js';
import type { ServerConfig } from './serverConfig.js';
import { ServerModule } from './serverModule.js';

const JSON_BODY_BYTES = 2 * 1024 * 1024;
const RELAY_EVERY_MS = 1000;
const IDLE_EVERY_MS = 50;
/** Then what is still being asked (an upload under way, a client gone silent) is cut off; uploads go on later. */
const ANSWER_PATIENCE_MS = 5000;

export interface RunningServer {
  readonly url: string;
  /** Answers what is being asked, takes no more, ends the sockets. */
  drain(): Promise<void>;
}

export async function startServer(config: ServerConfig): Promise<RunningServer> {
  const adapter = new FastifyAdapter({
    bodyLimit: JSON_BODY_BYTES,
    trustProxy: config.trustedProxies ?? false,
    // What is being asked is answered; `drain` sees to the rest.
    forceCloseConnections: 'idle',
    routerOptions: { ignoreTrailingSlash: true },
    genReqId: newRequestId,
  });
  // Uploads are streamed; nothing reads them into memory on the way.
  for (const type of ['application/octet-stream', 'application/offset+octet-stream', 'application/zip']) {
    adapter
      .getInstance()
      .addContentTypeParser(type, { bodyLimit: Number.MAX_SAFE_INTEGER }, (_request, payload, done) =>
        done(null, payload),
      );
  }
  const app = await NestFactory.create<NestFastifyApplication>(ServerModule.with(config), adapter, {
    logger: ['error', 'fatal'],
    abortOnError: false,
  });
  app.setGlobalPrefix('api', { exclude: ['health/live', 'health/ready', 'metrics'] });
  watchRequests(adapter.getInstance(), config);
  await app.register(fastifyCookie);
  await secureAnswers(app);
  const document = openApiDocument(app);
  adapter.getInstance().get('/api/openapi.json', (_request, reply) => reply.send(document));
  if (config.dashboardFolder !== undefined) await serveDashboard(app, config.dashboardFolder);
  await app.get(ResumableUploads).recover();
  await app.init();
  insistOnRules(app);
  const sockets = app.get(LiveSockets);
  await sockets.attach(app.getHttpServer());
  measureServer(config, sockets);
  await app.listen(config.port, config.host);
  const stopRelay = startRelay(config, sockets);
  return {
    url: urlOf(app.getHttpServer().address() as AddressInfo),
    drain: async () => {
      const http = app.getHttpServer();
      // A connection that is kept alive would hold the server for as long as its client goes on asking.
      const idle = setInterval(() => http.closeIdleConnections(), IDLE_EVERY_MS);
      const cut = setTimeout(() => http.closeAllConnections(), ANSWER_PATIENCE_MS);
      try {
        await Promise.all([sockets.close(), app.close()]);
      } finally {
        clearInterval(idle);
        clearTimeout(cut);
      }
      await stopRelay();
    },
  };
}

const urlOf = ({ address, port, family }: AddressInfo): string =>
  `http://${family === 'IPv6' ? `[${address}]` : address}:${port}`;

/** Moves job requests from the outbox to the queues, woken by the database, and by the clock in case it was not. */
function startRelay(config: ServerConfig, sockets: LiveSockets): () => Promise<void> {
  let running: Promise<void> | undefined;
  let again = false;
  const relay = async (): Promise<void> => {
    do {
      again = false;
      while (await relayOutbox(config.database, (jobs) => config.queues.add(jobs)));
    } while (again);
  };
  const wake = (): void => {
    again = true;
    running ??= relay()
      .catch((error: Error) => config.report(error, 'outbox'))
      .finally(() => (running = undefined));
  };
  const stopListening = listen(config.database, {
    feed: () => sockets.wake(),
    outbox: wake,
    draft: (about) => sockets.wakeDraft(about),
  });
  const timer = setInterval(() => {
    wake();
    sockets.wake();
    sockets.wakeDraft(undefined);
  }, RELAY_EVERY_MS);
  return async () => {
    clearInterval(timer);
    await stopListening();
    await running;
  };
}
