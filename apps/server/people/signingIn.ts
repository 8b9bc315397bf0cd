/** Signing in and out, and what a page is told about its session. */
import { Inject, Injectable } from '@nestjs/common';
import type { FastifyReply, FastifyRequest } from 'fastify';
import type { SessionState } from '../../../libs/contracts/index.js';
import { DEMO_PASSWORD } from '../../../libs/contracts/index.js';
import { change, lastFeedNumber } from '../../../libs/store/index.js';
import { isLoopback } from '../access/isLoopback.js';
import { hashPassword, passwordFits } from '../access/passwords.js';
import { COOKIE, Sessions, type SignedIn } from '../access/sessions.js';
import { SignInLimits } from '../access/signInLimits.js';
import { Refused } from '../http/refusals.js';
import { LiveSockets } from '../live/liveSockets.js';
import { CONFIG, type ServerConfig } from '../serverConfig.js';
import { presentPerson } from './present.js';

@Injectable()
export class SigningIn {
  constructor(
    @Inject(CONFIG) private readonly config: ServerConfig,
    @Inject(Sessions) private readonly sessions: Sessions,
    @Inject(SignInLimits) private readonly limits: SignInLimits,
    @Inject(LiveSockets) private readonly sockets: LiveSockets,
  ) {}

  async state(request: FastifyRequest, personId?: string): Promise<SessionState> {
    const { prisma } = this.config.database;
    const installation = await prisma.installation.findUnique({ where: { id: 1 } });
    if (!installation) return { installed: false, setupCodeNeeded: !isLoopback(request.ip) };
    const base: SessionState = {
      installed: true,
      teamName: installation.name,
      timeZone: installation.timeZone,
      invented: installation.invented,
    };
    // The guard knows who asks, by session or by token.
    const id = personId ?? request.person?.id;
    if (!id) return installation.invented ? { ...base, demoAccounts: await this.#demoAccounts() } : base;
    const account = await prisma.account.findUniqueOrThrow({ where: { id } });
    return {
      ...base,
      person: presentPerson(account),
      feedNumber: await lastFeedNumber(this.config.database),
    };
  }

  async open(accountId: string, request: FastifyRequest, reply: FastifyReply): Promise<SessionState> {
    await this.sessions.open(accountId, request, reply);
    return this.state(request, accountId);
  }

  async signIn(
    ask: { email: string; password: string },
    request: FastifyRequest,
    reply: FastifyReply,
  ): Promise<SessionState> {
    await this.limits.count(ask.email, request.ip);
    const account = await this.config.database.prisma.account.findUnique({ where: { email: ask.email } });
    const usable = account?.disabledAt === null ? account : undefined;
    if (!(await passwordFits(usable?.passwordHash, ask.password)) || !usable) {
      throw new Refused(401, {
        code: 'wrong-sign-in',
        message: 'That e-mail address and password do not go together.',
      });
    }
    await this.limits.forget(ask.email, request.ip);
    // A session from before signing in is never carried over.
    await this.sessions.close(request, reply);
    return this.open(usable.id, request, reply);
  }

  async signOut(request: FastifyRequest, reply: FastifyReply): Promise<void> {
    const person = await this.sessions.find(request.cookies[COOKIE]);
    await this.sessions.close(request, reply);
    if (person) this.sockets.endSession(person.sessionHash);
  }

  async changePassword(
    ask: { current: string; next: string },
    person: SignedIn,
    address: string,
  ): Promise<void> {
    await this.limits.count(person.email, address);
    const { passwordHash } = await this.config.database.prisma.account.findUniqueOrThrow({
      where: { id: person.id },
    });
    if (!(await passwordFits(passwordHash, ask.current))) {
      throw new Refused(422, { code: 'wrong-password', message: 'The current password is not right.' });
    }
    const next = await hashPassword(ask.next);
    await change(this.config.database, person, async (made) => {
      await made.tx.account.update({ where: { id: person.id }, data: { passwordHash: next } });
      made.record({
        action: 'password-changed',
        subject: 'account',
        subjectId: person.id,
        sentence: 'changed their password',
      });
    });
    await this.sessions.closeOthers(person.id, person.sessionHash);
    this.sockets.endPerson(person.id, person.sessionHash);
  }

  /** The demo's people are invented and their password is printed everywhere. */
  async #demoAccounts(): Promise<NonNullable<SessionState['demoAccounts']>> {
    const accounts = await this.config.database.prisma.account.findMany({
      where: { invented: true, disabledAt: null },
      orderBy: { createdAt: 'asc' },
      select: { email: true, name: true, role: true },
    });
    return accounts.map((account) => ({ ...account, password: DEMO_PASSWORD }));
  }
}
