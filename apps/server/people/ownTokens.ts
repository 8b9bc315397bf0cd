/** A person's own access tokens: made, listed, revoked. The token itself is shown once and kept only as its hash. */
import { Inject, Injectable } from '@nestjs/common';
import type { z } from 'zod';
import type { AddToken, Scope, TokenView } from '../../../libs/contracts/index.js';
import { change } from '../../../libs/store/index.js';
import { freshToken } from '../access/apiTokens.js';
import { hashToken, type SignedIn } from '../access/sessions.js';
import { refuse } from '../http/refusals.js';
import { LiveSockets } from '../live/liveSockets.js';
import { CONFIG, type ServerConfig } from '../serverConfig.js';

const Day = 24 * 3600_000;
/** Tokens that work at once; those that ran out or were revoked do not count. */
const MOST_ACTIVE = 20;
/** How long a token that no longer works is still shown. */
const SHOWN_AFTERWARDS_MS = 90 * Day;

@Injectable()
export class OwnTokens {
  constructor(
    @Inject(CONFIG) private readonly config: ServerConfig,
    @Inject(LiveSockets) private readonly sockets: LiveSockets,
  ) {}

  async list(by: SignedIn): Promise<TokenView[]> {
    const now = new Date();
    const shown = { gt: new Date(now.getTime() - SHOWN_AFTERWARDS_MS) };
    const rows = await this.config.database.prisma.apiToken.findMany({
      where: { accountId: by.id, expiresAt: shown, OR: [{ revokedAt: null }, { revokedAt: shown }] },
      orderBy: { createdAt: 'desc' },
    });
    return rows.map((row) => presentToken(row, now));
  }

  async add(ask: z.output<typeof AddToken>, by: SignedIn): Promise<TokenView> {
    const token = freshToken();
    const now = new Date();
    const scopes = [...new Set(ask.scopes)];
    const row = await change(this.config.database, by, async (made) => {
      const active = await made.tx.apiToken.count({
        where: { accountId: by.id, revokedAt: null, expiresAt: { gt: now } },
      });
      if (active >= MOST_ACTIVE) {
        throw refuse.wrong(
          'too-many-tokens',
          `You have ${active} access tokens that work.`,
          'Revoke one that is no longer used.',
        );
      }
      const kept = await made.tx.apiToken.create({
        data: {
          accountId: by.id,
          name: ask.name,
          tokenHash: hashToken(token),
          scopes,
          expiresAt: new Date(now.getTime() + ask.daysValid * Day),
        },
      });
      made.record({
        action: 'token-added',
        subject: 'token',
        subjectId: kept.id,
        sentence: `made the access token “${ask.name}” (${scopes.join(', ')}) for ${ask.daysValid} days`,
      });
      return kept;
    });
    return { ...presentToken(row, now), token };
  }

  /** At once: what the token has open is cut off, here directly and on other servers within a second. */
  async revoke(id: string, by: SignedIn): Promise<void> {
    const tokenHash = await change(this.config.database, by, async (made) => {
      const row = await made.tx.apiToken.findUnique({ where: { id } });
      if (row?.accountId !== by.id) throw refuse.notFound('access token');
      if (row.revokedAt !== null) return row.tokenHash;
      await made.tx.apiToken.update({ where: { id }, data: { revokedAt: new Date() } });
      made.record({
        action: 'token-revoked',
        subject: 'token',
        subjectId: id,
        sentence: `revoked the access token “${row.name}”`,
      });
      return row.tokenHash;
    });
    this.sockets.endSession(tokenHash);
  }
}

interface TokenRow {
  id: string;
  name: string;
  scopes: string[];
  createdAt: Date;
  expiresAt: Date;
  lastUsedAt: Date | null;
  revokedAt: Date | null;
}

const presentToken = (row: TokenRow, now: Date): TokenView => ({
  id: row.id,
  name: row.name,
  scopes: row.scopes as Scope[],
  state: row.revokedAt !== null ? 'revoked' : row.expiresAt <= now ? 'expired' : 'active',
  createdAt: row.createdAt.toISOString(),
  expiresAt: row.expiresAt.toISOString(),
  lastUsedAt: row.lastUsedAt?.toISOString() ?? null,
});
