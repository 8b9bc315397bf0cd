/** The dashboard, the history, the feed over plain HTTP, and the health of the server. */
import { Controller, Inject, Res } from '@nestjs/common';
import { ApiTags } from '@nestjs/swagger';
import type { FastifyReply } from 'fastify';
import { z } from 'zod';
import type { DashboardView } from '../../../libs/contracts/index.js';
import { Person } from '../access/person.js';
import type { SignedIn } from '../access/sessions.js';
import { Route } from '../http/route.js';
import { Asked } from '../http/sent.js';
import { CONFIG, type ServerConfig } from '../serverConfig.js';
import { Overview } from './overview.js';

@ApiTags('overview')
@Controller()
export class OverviewController {
  constructor(@Inject(Overview) private readonly overview: Overview) {}

  @Route('GET', 'dashboard', 'member', 'What needs whom next, and every loan’s plan')
  dashboard(@Person() by: SignedIn): Promise<DashboardView> {
    return this.overview.dashboard(by);
  }

  @Route('GET', 'feed', 'signed-in', 'A room’s events after a number')
  feed(
    @Asked('room', z.string().max(100)) room: string | undefined,
    @Asked('after', z.coerce.number().int().min(0)) after: number | undefined,
    @Person() by: SignedIn,
  ) {
    return this.overview.events(room ?? 'team', after ?? 0, by);
  }
}

@ApiTags('health')
@Controller('health')
export class HealthController {
  constructor(@Inject(CONFIG) private readonly config: ServerConfig) {}

  @Route('GET', 'live', 'public', 'The process runs')
  live(): { ok: true } {
    return { ok: true };
  }

  @Route('GET', 'ready', 'public', 'The database and the queues answer')
  async ready(
    @Res({ passthrough: true }) reply: FastifyReply,
  ): Promise<{ ok: boolean; database: boolean; queues: boolean }> {
    const asked = async (work: Promise<unknown>) =>
      work.then(
        () => true,
        () => false,
      );
    const [database, queues] = await Promise.all([
      asked(this.config.database.pool.query('select 1')),
      asked(this.config.queues.counts()),
    ]);
    if (!(database && queues)) void reply.status(503);
    return { ok: database && queues, database, queues };
  }
}
