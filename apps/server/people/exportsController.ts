/** Taking one's data home. */
import { Controller, Inject, Res } from '@nestjs/common';
import { ApiTags } from '@nestjs/swagger';
import type { FastifyReply } from 'fastify';
import type { z } from 'zod';
import { AskExport, type ExportView } from '../../../libs/contracts/index.js';
import { Person } from '../access/person.js';
import type { SignedIn } from '../access/sessions.js';
import { Route } from '../http/route.js';
import { Id, Sent } from '../http/sent.js';
import { Exporting } from './exporting.js';

@ApiTags('people')
@Controller('exports')
export class ExportsController {
  constructor(@Inject(Exporting) private readonly exporting: Exporting) {}

  @Route('GET', '', 'signed-in', 'One’s own exports')
  list(@Person() by: SignedIn): Promise<ExportView[]> {
    return this.exporting.list(by);
  }

  @Route('POST', '', 'signed-in', 'Ask for one’s own data as a ZIP; the owner also for everything', 202)
  ask(@Sent(AskExport) { scope }: z.output<typeof AskExport>, @Person() by: SignedIn): Promise<ExportView[]> {
    return this.exporting.ask(scope, by);
  }

  @Route('GET', ':id/file', 'signed-in', 'A finished export, for whoever asked for it')
  send(@Id() id: string, @Person() by: SignedIn, @Res() reply: FastifyReply): Promise<void> {
    return this.exporting.send(id, by, reply);
  }
}
