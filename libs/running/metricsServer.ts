/** The metrics of a process that serves nothing else, as a worker. */
import { createServer } from 'node:http';
import type { Metrics } from './metrics.js';
import { mayReadMetrics, type MetricsDoor } from './metricsDoor.js';

const loopback = new Set(['127.0.0.1', '::1', '::ffff:127.0.0.1']);

/** @returns stops it */
export async function serveMetrics(
  metrics: Metrics,
  door: MetricsDoor,
  where: { host: string; port: number },
): Promise<() => Promise<void>> {
  const server = createServer((request, response) => {
    const mayRead = mayReadMetrics(door, request.headers, loopback.has(request.socket.remoteAddress ?? ''));
    if (request.method !== 'GET' || request.url !== '/metrics' || !mayRead) {
      response.writeHead(404).end();
      return;
    }
    metrics.text().then(
      (text) => response.writeHead(200, { 'content-type': metrics.contentType }).end(text),
      () => response.writeHead(500).end(),
    );
  });
  await new Promise<void>((resolve, reject) => {
    server.once('error', reject);
    server.listen(where.port, where.host, resolve);
  });
  return async () => {
    server.closeAllConnections();
    await new Promise((resolve) => server.close(resolve));
  };
}
