/** Figures for programs that watch the installation. */
import { Controller, Inject, Req, Res } from '@nestjs/common';
import { ApiTags } from '@nestjs/swagger';
import type { FastifyReply, FastifyRequest } from 'fastify';
import { mayReadMetrics } from '../../../libs/running/index.js';
import { isLoopback } from '../access/isLoopback.js';
import { refuse } from '../http/refusals.js';
import { Route } from '../http/route.js';
import { CONFIG, type ServerConfig } from '../serverConfig.js';

@ApiTags('operations')
@Controller()
export class MetricsController {
  constructor(@Inject(CONFIG) private readonly config: ServerConfig) {}

  @Route(
    'GET',
    'metrics',
    'public',
    'Figures in the text format of Prometheus: with the token of SOJOURN_METRICS_TOKEN, or from this machine alone',
  )
  async metrics(@Req() request: FastifyRequest, @Res() reply: FastifyReply): Promise<void> {
    const { metrics, metricsDoor } = this.config;
    const fromLoopback = isLoopback(request.raw.socket.remoteAddress ?? '');
    // Nothing at this address, for whoever may not read it.
    if (!mayReadMetrics(metricsDoor, request.headers, fromLoopback)) throw refuse.notFound('page');
    await reply
      .header('content-type', metrics.contentType)
      .header('cache-control', 'no-store')
      .send(await metrics.text());
  }
}
