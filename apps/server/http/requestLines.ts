/** Each answered request: timed for the metrics, a line in the log, its trace taken over from who asked. */
import { randomUUID } from 'node:crypto';
import type { FastifyInstance, FastifyRequest } from 'fastify';
import { isRefused } from '../../../libs/running/index.js';
import { inTrace, traceOf } from '../../../libs/store/index.js';
import type { ServerConfig } from '../serverConfig.js';

export const newRequestId = (): string => randomUUID();

export function watchRequests(server: FastifyInstance, { metrics, log }: ServerConfig): void {
  server.addHook('onRequest', (request, reply, next) => {
    void reply.header('x-request-id', request.id);
    next();
  });
  // After the body: what reads it would lose the trace again.
  server.addHook('preHandler', (request, _reply, next) => inTrace(traceOfRequest(request), next));
  server.addHook('onResponse', (request, reply, next) => {
    const { method } = request;
    const route = request.is404 ? undefined : request.routeOptions.url;
    const { statusCode: status, elapsedTime: ms } = reply;
    metrics.request(method, route, status, ms / 1000);
    log?.request({
      requestId: request.id,
      trace: traceOfRequest(request),
      method,
      route,
      status,
      ms,
      personId: request.person?.id,
      ...(isRefused(status) ? { address: request.ip } : {}),
    });
    next();
  });
}

function traceOfRequest({ headers }: FastifyRequest): string | undefined {
  const { traceparent } = headers;
  return traceOf(typeof traceparent === 'string' ? traceparent : undefined);
}
