/** Signing in and out, and what a page is told about its session. */
import { Inject, Injectable } from '@nestjs/common';
import type { FastifyReply, FastifyRequest } from 'fastify';
import type { SessionState } from '../../../libs/contracts/index.js';
import { DEMO_PASSWORD } from '../../../libs/contracts/index.js';
import { change, lastFeedNumber } from '../../../libs/store/index.js';
import { deviceOf } from '../access/deviceOf.js';
import { isLoopback } from '../access/isLoopback.js';
import { hashPassword, passwordFits } from '../access/passwords.js';
import { Sessions, tokenOf, type SignedIn } from '../access/sessions.js';
import { refuseWeakPassword } from '../access/weakPasswords.js';
import { SignInLimits } from '../access/signInLimits.js';
import { refuse, Refused } from '../http/refusals.js';
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
    await change(this.config.database, usable, (made) => {
      const sentence = `signed in with ${deviceOf(request.headers['user-agent'])}`;
      made.record({ action: 'signed-in', subject: 'account', subjectId: usable.id, sentence });
      return Promise.resolve();
    });
    return this.open(usable.id, request, reply);
  }

  async signOut(request: FastifyRequest, reply: FastifyReply): Promise<void> {
    const person = await this.sessions.find(tokenOf(request));
    await this.sessions.close(request, reply);
    if (person) this.sockets.endSession(person.sessionHash);
  }

  async changePassword(
    ask: { current: string; next: string },
    person: SignedIn,
    request: FastifyRequest,
    reply: FastifyReply,
  ): Promise<void> {
    await this.limits.count(person.email, request.ip);
    const { passwordHash } = await this.config.database.prisma.account.findUniqueOrThrow({
      where: { id: person.id },
    });
    if (!(await passwordFits(passwordHash, ask.current))) {
      throw new Refused(422, { code: 'wrong-password', message: 'The current password is not right.' });
    }
    const installation = await this.config.database.prisma.installation.findUnique({ where: { id: 1 } });
    refuseWeakPassword(ask.next, [installation?.name ?? '', person.name, person.email]);
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
    // Every session ends, and this browser gets a new one.
    await this.sessions.closeOthers(person.id);
    await this.sessions.open(person.id, request, reply);
    this.sockets.endPerson(person.id, person.sessionHash);
    this.sockets.renewSession(person.sessionHash);
  }

  async endSession(id: string, person: SignedIn): Promise<void> {
    const hash = await this.sessions.end(id, person.id);
    if (hash === undefined) throw refuse.notFound('session');
    this.sockets.endSession(hash);
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
