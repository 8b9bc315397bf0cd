/** Signed-in browsers: a random token in a cookie, its hash in the database. */
import '@fastify/cookie';
import { createHash, randomBytes } from 'node:crypto';
import { Inject, Injectable } from '@nestjs/common';
import type { FastifyReply, FastifyRequest } from 'fastify';
import type { OwnSession, Role, Scope } from '../../../libs/contracts/index.js';
import { deviceOf } from './deviceOf.js';
import { CONFIG, type ServerConfig } from '../serverConfig.js';

export const COOKIE = 'sojourn_session';
/** Over TLS: browsers take a cookie of such a name only from this very host, over TLS, for all its paths. */
export const HOST_COOKIE = `__Host-${COOKIE}`;
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

type FoundSession = Pick<SignedIn, 'id' | 'name' | 'email' | 'role'> & {
  readonly disabledAt: Date | null;
  readonly expiresAt: Date;
  readonly lastSeenAt: Date;
};

declare module 'fastify' {
  interface FastifyRequest {
    person?: SignedIn;
  }
}

export const hashToken = (token: string): string => createHash('sha256').update(token).digest('hex');
export const newToken = (): string => randomBytes(32).toString('base64url');

type Asking = Pick<FastifyRequest, 'cookies' | 'protocol'>;

const cookieName = (request: Asking): string => (request.protocol === 'https' ? HOST_COOKIE : COOKIE);
/** Over TLS another cookie than the one bound to this host counts for nothing. */
export const tokenOf = (request: Asking): string | undefined => request.cookies[cookieName(request)];

@Injectable()
export class Sessions {
  constructor(@Inject(CONFIG) private readonly config: ServerConfig) {}

  async open(accountId: string, request: FastifyRequest, reply: FastifyReply): Promise<void> {
    const token = newToken();
    const expiresAt = new Date(Date.now() + TOTAL_DAYS * Day);
    await this.config.database.prisma.session.create({
      data: {
        tokenHash: hashToken(token),
        accountId,
        expiresAt,
        device: deviceOf(request.headers['user-agent']),
      },
    });
    void reply.setCookie(cookieName(request), token, {
      path: '/',
      httpOnly: true,
      sameSite: 'strict',
      secure: request.protocol === 'https',
      expires: expiresAt,
    });
  }

  async close(request: FastifyRequest, reply: FastifyReply): Promise<void> {
    const token = tokenOf(request);
    if (token)
      await this.config.database.prisma.session.deleteMany({ where: { tokenHash: hashToken(token) } });
    void reply.clearCookie(cookieName(request), { path: '/', secure: request.protocol === 'https' });
  }

  /** The person's own, the one that asks first. */
  async list({ id, sessionHash }: SignedIn): Promise<OwnSession[]> {
    const rows = await this.config.database.prisma.session.findMany({
      where: {
        accountId: id,
        expiresAt: { gt: new Date() },
        lastSeenAt: { gt: new Date(Date.now() - IDLE_DAYS * Day) },
      },
      orderBy: { lastSeenAt: 'desc' },
    });
    return rows
      .map((row) => ({
        id: row.id,
        device: row.device,
        begunAt: row.createdAt.toISOString(),
        seenAt: row.lastSeenAt.toISOString(),
        endsAt: row.expiresAt.toISOString(),
        here: row.tokenHash === sessionHash,
      }))
      .toSorted((a, b) => Number(b.here) - Number(a.here));
  }

  /** @returns its hash; undefined when it is not this person's */
  async end(id: string, accountId: string): Promise<string | undefined> {
    const { prisma } = this.config.database;
    const row = await prisma.session.findFirst({ where: { id, accountId } });
    if (row) await prisma.session.deleteMany({ where: { id } });
    return row?.tokenHash;
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
    // Asked with every request: one prepared query.
    const found = await this.config.database.pool.query<FoundSession>({
      name: 'session',
      text: `select a."id", a."name", a."email", a."role", a."disabledAt", s."expiresAt", s."lastSeenAt"
             from "Session" s join "Account" a on a."id" = s."accountId" where s."tokenHash" = $1`,
      values: [sessionHash],
    });
    const [session] = found.rows;
    const now = Date.now();
    if (!session || session.disabledAt !== null) return undefined;
    if (session.expiresAt.getTime() < now || session.lastSeenAt.getTime() < now - IDLE_DAYS * Day)
      return undefined;
    if (session.lastSeenAt.getTime() < now - SEEN_EVERY_MS) {
      await this.config.database.prisma.session.updateMany({
        where: { tokenHash: sessionHash },
        data: { lastSeenAt: new Date() },
      });
    }
    const { id, name, email, role } = session;
    return { id, name, email, role, sessionHash };
  }
}
