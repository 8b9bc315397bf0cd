/** The team and who is invited to it. */
import { Controller, Inject, Req, Res } from '@nestjs/common';
import { ApiTags } from '@nestjs/swagger';
import type { FastifyReply, FastifyRequest } from 'fastify';
import { z } from 'zod';
import {
  AcceptInvitation,
  ChangePerson,
  InvitePerson,
  RemoveAccount,
  type Invitation,
  type Person as PersonView,
  type RemovalView,
  type SessionState,
} from '../../../libs/contracts/index.js';
import { Person } from '../access/person.js';
import type { SignedIn } from '../access/sessions.js';
import { Route } from '../http/route.js';
import { Id, Sent } from '../http/sent.js';
import { Inviting } from './inviting.js';
import { Leaving } from './leaving.js';
import { Team } from './team.js';

const LookAtInvitation = z.object({ token: z.string().min(20).max(200) });

@ApiTags('people')
@Controller()
export class PeopleController {
  constructor(
    @Inject(Team) private readonly team: Team,
    @Inject(Inviting) private readonly inviting: Inviting,
    @Inject(Leaving) private readonly leaving: Leaving,
  ) {}

  @Route('GET', 'people', 'member', 'The team')
  people(): Promise<PersonView[]> {
    return this.team.list();
  }

  @Route(
    'PATCH',
    'people/:id',
    'signed-in',
    'Change a person: the owner anybody, others their own name and zone',
  )
  change(
    @Id() id: string,
    @Sent(ChangePerson) ask: z.output<typeof ChangePerson>,
    @Person() person: SignedIn,
  ): Promise<PersonView> {
    return this.team.change(id, ask, person);
  }

  @Route('DELETE', 'people/:id/sessions', 'owner', 'Sign a person out everywhere')
  endSessions(@Id() id: string, @Person() person: SignedIn): Promise<void> {
    return this.team.endSessions(id, person);
  }

  @Route(
    'GET',
    'people/:id/removal',
    'signed-in',
    'What deleting an account means: one’s own, or any for the owner',
  )
  removal(@Id() id: string, @Person() person: SignedIn): Promise<RemovalView> {
    return this.leaving.view(id, person);
  }

  @Route(
    'POST',
    'people/:id/removal',
    'signed-in',
    'Delete an account for good: one’s own, or any for the owner; the password of whoever asks is asked',
    204,
  )
  remove(
    @Id() id: string,
    @Sent(RemoveAccount) ask: z.output<typeof RemoveAccount>,
    @Person() person: SignedIn,
    @Req() request: FastifyRequest,
  ): Promise<void> {
    return this.leaving.remove(id, ask, person, request.ip);
  }

  @Route('GET', 'invitations', 'owner', 'Invitations made')
  invitations(): Promise<Invitation[]> {
    return this.inviting.list();
  }

  @Route('POST', 'invitations', 'owner', 'Invite somebody by a link, shown once')
  invite(
    @Sent(InvitePerson) ask: z.output<typeof InvitePerson>,
    @Person() person: SignedIn,
  ): Promise<Invitation> {
    return this.inviting.invite(ask, person);
  }

  @Route('DELETE', 'invitations/:id', 'owner', 'Withdraw an invitation')
  revoke(@Id() id: string, @Person() person: SignedIn): Promise<void> {
    return this.inviting.revoke(id, person);
  }

  @Route('POST', 'invitations/look', 'public', 'What an invitation link offers', 200)
  look(@Sent(LookAtInvitation) ask: z.output<typeof LookAtInvitation>, @Req() request: FastifyRequest) {
    return this.inviting.look(ask.token, request.ip);
  }

  @Route('POST', 'invitations/accept', 'public', 'Accept an invitation and sign in')
  accept(
    @Sent(AcceptInvitation) ask: z.output<typeof AcceptInvitation>,
    @Req() request: FastifyRequest,
    @Res({ passthrough: true }) reply: FastifyReply,
  ): Promise<SessionState> {
    return this.inviting.accept(ask, request, reply);
  }
}
