/** Signed-in browsers: a random token in a cookie, its hash in the database. */
import '@fastify/cookie';
import { createHash, randomBytes } from 'node:crypto';
import { Inject, Injectable } from '@nestjs/common';
import type { FastifyReply, FastifyRequest } from 'fastify';
import type { Role, Scope } from '../../../libs/contracts/index.js';
import { CONFIG, type ServerConfig } from '../serverConfig.js';

export const COOKIE = 'sojourn_session';
const Day = 24 * 3600_000;
const IDLE_DAYS = 14;
const TOTAL_DAYS = 60;
/** `lastSeenAt` is written at most this often. */
const SEEN_EVERY_MS = 10 * 60_000;

export interface SignedIn {
  readonly id: string;
  readonly name: string;
  readonly email: string;
  readonly role: Role;
  readonly sessionHash: string;
  /** What an access token may do; absent for somebody who signed in. Then `sessionHash` is the token’s. */
  readonly scopes?: readonly Scope[];
}

declare module 'fastify' {
  interface FastifyRequest {
    person?: SignedIn;
  }
}

export const hashToken = (token: string): string => createHash('sha256').update(token).digest('hex');
export const newToken = (): string => randomBytes(32).toString('base64url');

@Injectable()
export class Sessions {
  constructor(@Inject(CONFIG) private readonly config: ServerConfig) {}

  async open(accountId: string, request: FastifyRequest, reply: FastifyReply): Promise<void> {
    const token = newToken();
    const expiresAt = new Date(Date.now() + TOTAL_DAYS * Day);
    await this.config.database.prisma.session.create({
      data: { tokenHash: hashToken(token), accountId, expiresAt },
    });
    void reply.setCookie(COOKIE, token, {
      path: '/',
      httpOnly: true,
      sameSite: 'strict',
      secure: request.protocol === 'https',
      expires: expiresAt,
    });
  }

  async close(request: FastifyRequest, reply: FastifyReply): Promise<void> {
    const token = request.cookies[COOKIE];
    if (token)
      await this.config.database.prisma.session.deleteMany({ where: { tokenHash: hashToken(token) } });
    void reply.clearCookie(COOKIE, { path: '/' });
  }

  async closeOthers(accountId: string, keepHash?: string): Promise<void> {
    await this.config.database.prisma.session.deleteMany({
      where: { accountId, ...(keepHash ? { tokenHash: { not: keepHash } } : {}) },
    });
  }

  /** Who a token belongs to; undefined when it is unknown, over, idle too long or the account is disabled. */
  async find(token: string | undefined): Promise<SignedIn | undefined> {
    if (!token) return undefined;
    const sessionHash = hashToken(token);
    const session = await this.config.database.prisma.session.findUnique({
      where: { tokenHash: sessionHash },
      include: { account: true },
    });
    const now = Date.now();
    if (!session || session.account.disabledAt !== null) return undefined;
    if (session.expiresAt.getTime() < now || session.lastSeenAt.getTime() < now - IDLE_DAYS * Day)
      return undefined;
    if (session.lastSeenAt.getTime() < now - SEEN_EVERY_MS) {
      await this.config.database.prisma.session.updateMany({
        where: { tokenHash: sessionHash },
        data: { lastSeenAt: new Date() },
      });
    }
    const { id, name, email, role } = session.account;
    return { id, name, email, role, sessionHash };
  }
}
