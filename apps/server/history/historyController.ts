/** Who did what, for the team; and whether nobody has touched it since. */
import { Controller, Inject, Res } from '@nestjs/common';
import { ApiTags } from '@nestjs/swagger';
import type { FastifyReply } from 'fastify';
import type { z } from 'zod';
import {
  CheckHistory,
  HistoryQuery,
  type HistoryChainView,
  type HistoryView,
} from '../../../libs/contracts/index.js';
import { Person } from '../access/person.js';
import type { SignedIn } from '../access/sessions.js';
import { Route } from '../http/route.js';
import { AskedAll, Sent } from '../http/sent.js';
import { Histories } from './histories.js';

type Query = z.output<typeof HistoryQuery>;

@ApiTags('history')
@Controller('history')
export class HistoryController {
  constructor(@Inject(Histories) private readonly histories: Histories) {}

  @Route('GET', '', 'member', 'Who did what, newest first')
  page(@AskedAll(HistoryQuery) query: Query, @Person() by: SignedIn): Promise<HistoryView[]> {
    return this.histories.page(query, by);
  }

  @Route('GET', 'file.csv', 'member', 'The same as CSV, all of it, with the hashes of the chain')
  async csv(
    @AskedAll(HistoryQuery) query: Query,
    @Person() by: SignedIn,
    @Res() reply: FastifyReply,
  ): Promise<void> {
    const lines = await this.histories.csv(query, by);
    await reply
      .header('content-type', 'text/csv; charset=utf-8; header=present')
      .header('content-disposition', 'attachment; filename="history.csv"')
      .header('cache-control', 'private, no-store')
      .send(lines);
  }

  @Route('GET', 'chain', 'member', 'The newest line’s number and hash, and when the chain was last checked')
  chain(): Promise<HistoryChainView> {
    return this.histories.chain();
  }

  @Route(
    'POST',
    'check',
    'member',
    'Go through the whole history; the first line that does not fit is told',
    200,
  )
  check(
    @Sent(CheckHistory) ask: z.output<typeof CheckHistory>,
    @Person() by: SignedIn,
  ): Promise<HistoryChainView> {
    return this.histories.check(ask, by);
  }
}
