/** Backups are the owner's: they hold everything. */
import { Controller, Inject, Param, Res } from '@nestjs/common';
import { ApiTags } from '@nestjs/swagger';
import type { FastifyReply } from 'fastify';
import type { z } from 'zod';
import { ChangeBackupPlan, type BackupsView } from '../../../libs/contracts/index.js';
import { Person } from '../access/person.js';
import type { SignedIn } from '../access/sessions.js';
import { Route } from '../http/route.js';
import { Sent } from '../http/sent.js';
import { Backups } from './backups.js';

@ApiTags('backups')
@Controller()
export class BackupsController {
  constructor(@Inject(Backups) private readonly backups: Backups) {}

  @Route('GET', 'backups', 'owner', 'Backups there are, and when they are made by themselves')
  all(): Promise<BackupsView> {
    return this.backups.all();
  }

  @Route('POST', 'backups', 'owner', 'Make a backup now', 202)
  make(@Person() person: SignedIn): Promise<BackupsView> {
    return this.backups.make(person);
  }

  @Route('PATCH', 'backups/plan', 'owner', 'When backups are made by themselves, and how many stay')
  changePlan(
    @Sent(ChangeBackupPlan) ask: z.output<typeof ChangeBackupPlan>,
    @Person() person: SignedIn,
  ): Promise<BackupsView> {
    return this.backups.changePlan(ask, person);
  }

  @Route('GET', 'backups/files/:name', 'owner', 'One backup, as a ZIP')
  send(@Param('name') name: string, @Person() person: SignedIn, @Res() reply: FastifyReply): Promise<void> {
    return this.backups.send(name, person, reply);
  }

  @Route('DELETE', 'backups/files/:name', 'owner', 'Remove one backup')
  remove(@Param('name') name: string, @Person() person: SignedIn): Promise<void> {
    return this.backups.remove(name, person);
  }
}
