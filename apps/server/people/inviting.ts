/** Invitations by link: the token is shown once and only its hash is kept. */
import { Inject, Injectable } from '@nestjs/common';
import type { FastifyReply, FastifyRequest } from 'fastify';
import type { z } from 'zod';
import type {
  AcceptInvitation,
  Invitation,
  InvitePerson,
  SessionState,
} from '../../../libs/contracts/index.js';
import { change } from '../../../libs/store/index.js';
import { hashPassword } from '../access/passwords.js';
import { hashToken, newToken, type SignedIn } from '../access/sessions.js';
import { SignInLimits } from '../access/signInLimits.js';
import { refuseWeakPassword } from '../access/weakPasswords.js';
import { refuse, Refused } from '../http/refusals.js';
import { CONFIG, type ServerConfig } from '../serverConfig.js';
import { presentInvitation } from './present.js';
import { SigningIn } from './signingIn.js';

const Day = 24 * 3600_000;

@Injectable()
export class Inviting {
  constructor(
    @Inject(CONFIG) private readonly config: ServerConfig,
    @Inject(SigningIn) private readonly signingIn: SigningIn,
    @Inject(SignInLimits) private readonly limits: SignInLimits,
  ) {}

  async list(): Promise<Invitation[]> {
    const { prisma } = this.config.database;
    const rows = await prisma.invitation.findMany({ orderBy: { createdAt: 'desc' } });
    const people = await prisma.account.findMany({ select: { id: true, name: true } });
    const names = new Map(people.map(({ id, name }) => [id, name]));
    return rows.map((row) => presentInvitation(row, names.get(row.invitedBy) ?? '', new Date()));
  }

  async invite(ask: z.output<typeof InvitePerson>, by: SignedIn): Promise<Invitation> {
    const token = newToken();
    const row = await change(this.config.database, by, async (made) => {
      const invitation = await made.tx.invitation.create({
        data: {
          tokenHash: hashToken(token),
          role: ask.role,
          note: ask.note,
          invitedBy: by.id,
          expiresAt: new Date(Date.now() + ask.daysValid * Day),
        },
      });
      made.record({
        action: 'person-invited',
        subject: 'invitation',
        subjectId: invitation.id,
        sentence: `invited ${ask.note || 'somebody'} as ${ask.role}`,
      });
      return invitation;
    });
    // In the fragment: it is not sent to servers and not written into their logs.
    return presentInvitation(row, by.name, new Date(), `/invite#${token}`);
  }

  async revoke(id: string, by: SignedIn): Promise<void> {
    await change(this.config.database, by, async (made) => {
      const revoked = await made.tx.invitation.updateMany({
        where: { id, acceptedAt: null, revokedAt: null },
        data: { revokedAt: new Date() },
      });
      if (revoked.count === 0) throw refuse.notFound('open invitation');
      made.record({
        action: 'invitation-revoked',
        subject: 'invitation',
        subjectId: id,
        sentence: 'withdrew an invitation',
      });
    });
  }

  async look(token: string, address: string) {
    await this.limits.count(`invitation ${token}`, address);
    const { prisma } = this.config.database;
    const row = await prisma.invitation.findUnique({ where: { tokenHash: hashToken(token) } });
    if (!row || presentInvitation(row, '', new Date()).state !== 'open') throw notOpen();
    const installation = await prisma.installation.findUniqueOrThrow({ where: { id: 1 } });
    return { role: row.role, teamName: installation.name, expiresAt: row.expiresAt.toISOString() };
  }

  async accept(
    ask: z.output<typeof AcceptInvitation>,
    request: FastifyRequest,
    reply: FastifyReply,
  ): Promise<SessionState> {
    await this.limits.count(`invitation ${ask.token}`, request.ip);
    const installation = await this.config.database.prisma.installation.findUnique({ where: { id: 1 } });
    refuseWeakPassword(ask.password, [installation?.name ?? '', ask.name, ask.email]);
    const passwordHash = await hashPassword(ask.password);
    const accountId = await change(this.config.database, { id: null, name: ask.name }, async (made) => {
      const now = new Date();
      // Claimed before the account is made: two who open one link at once give one account.
      const claimed = await made.tx.invitation.updateManyAndReturn({
        where: { tokenHash: hashToken(ask.token), acceptedAt: null, revokedAt: null, expiresAt: { gt: now } },
        data: { acceptedAt: now },
      });
      const [invitation] = claimed;
      if (!invitation) throw notOpen();
      const taken = await made.tx.account.findUnique({ where: { email: ask.email } });
      if (taken)
        throw refuse.wrong(
          'email-taken',
          'An account with this e-mail address is there already.',
          'Sign in, or use another address.',
        );
      const { timeZone } = await made.tx.installation.findUniqueOrThrow({ where: { id: 1 } });
      const account = await made.tx.account.create({
        // Hours of work are the person's own clock's: the team's, until they say they live elsewhere.
        data: { email: ask.email, name: ask.name, role: invitation.role, passwordHash, timeZone },
      });
      await made.tx.invitation.update({ where: { id: invitation.id }, data: { acceptedBy: account.id } });
      const sentence = `${ask.name} joined as ${invitation.role}`;
      made.record({ action: 'person-joined', subject: 'account', subjectId: account.id, sentence });
      made.publish('team', 'people-changed', { accountId: account.id, by: ask.name, sentence });
      return account.id;
    });
    return this.signingIn.open(accountId, request, reply);
  }
}

const notOpen = () =>
  new Refused(404, {
    code: 'invitation-not-open',
    message: 'This invitation is not open (any more).',
    remedy: 'Ask the owner for a new link.',
  });
