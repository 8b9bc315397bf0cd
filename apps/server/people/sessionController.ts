/** First run, signing in and out. */
import { Controller, Inject, Req, Res } from '@nestjs/common';
import { ApiTags } from '@nestjs/swagger';
import type { FastifyReply, FastifyRequest } from 'fastify';
import type { z } from 'zod';
import {
  ChangePassword,
  SetUpInstallation,
  SignIn,
  type OwnSession,
  type SessionState,
} from '../../../libs/contracts/index.js';
import { isLoopback } from '../access/isLoopback.js';
import { Person } from '../access/person.js';
import { Sessions, type SignedIn } from '../access/sessions.js';
import { Route } from '../http/route.js';
import { Id, Sent } from '../http/sent.js';
import { Installing } from './installing.js';
import { SigningIn } from './signingIn.js';

@ApiTags('session')
@Controller()
export class SessionController {
  constructor(
    @Inject(Installing) private readonly installing: Installing,
    @Inject(SigningIn) private readonly signingIn: SigningIn,
    @Inject(Sessions) private readonly sessions: Sessions,
  ) {}

  @Route('GET', 'session', 'public', 'Who is signed in, and whether the installation is set up')
  session(@Req() request: FastifyRequest): Promise<SessionState> {
    return this.signingIn.state(request);
  }

  @Route('POST', 'setup', 'public', 'First run: make the owner account')
  async setUp(
    @Sent(SetUpInstallation) ask: z.output<typeof SetUpInstallation>,
    @Req() request: FastifyRequest,
    @Res({ passthrough: true }) reply: FastifyReply,
  ): Promise<SessionState> {
    const ownerId = await this.installing.setUp(ask, isLoopback(request.ip));
    return this.signingIn.open(ownerId, request, reply);
  }

  @Route('POST', 'session', 'public', 'Sign in')
  signIn(
    @Sent(SignIn) ask: z.output<typeof SignIn>,
    @Req() request: FastifyRequest,
    @Res({ passthrough: true }) reply: FastifyReply,
  ): Promise<SessionState> {
    return this.signingIn.signIn(ask, request, reply);
  }

  @Route('DELETE', 'session', 'public', 'Sign out')
  signOut(@Req() request: FastifyRequest, @Res({ passthrough: true }) reply: FastifyReply): Promise<void> {
    return this.signingIn.signOut(request, reply);
  }

  @Route(
    'POST',
    'session/password',
    'signed-in',
    'Change the password; other sessions end, this one is renewed',
    204,
  )
  changePassword(
    @Sent(ChangePassword) ask: z.output<typeof ChangePassword>,
    @Person() person: SignedIn,
    @Req() request: FastifyRequest,
    @Res({ passthrough: true }) reply: FastifyReply,
  ): Promise<void> {
    return this.signingIn.changePassword(ask, person, request, reply);
  }

  @Route('GET', 'sessions', 'signed-in', 'One’s own sessions: which browsers are signed in')
  own(@Person() person: SignedIn): Promise<OwnSession[]> {
    return this.sessions.list(person);
  }

  @Route('DELETE', 'sessions/:id', 'signed-in', 'End one of one’s own sessions')
  end(@Id() id: string, @Person() person: SignedIn): Promise<void> {
    return this.signingIn.endSession(id, person);
  }
}
