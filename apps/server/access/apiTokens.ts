/**
 * Access tokens of programs: a random secret shown once, its hash in the database. A token is its owner, cut down to
 * its scopes: with their role as it is now, blind where they are, dead when they are shut out.
 */
import type { IncomingMessage } from 'node:http';
import { Inject, Injectable, type OnModuleDestroy } from '@nestjs/common';
import type { RateLimiterPostgres } from 'rate-limiter-flexible';
import { TOKEN_MARK, type Scope } from '../../../libs/contracts/index.js';
import { Refused } from '../http/refusals.js';
import { CONFIG, type ServerConfig } from '../serverConfig.js';
import { hashToken, newToken, type SignedIn } from './sessions.js';
import { storedLimiter, withinLimits } from './storedLimits.js';

const Minute = 60;
/** A program that sends a set of seventy files asks about four times for each; the rest is room. */
export const REQUESTS_PER_MINUTE = 1200;
/** `lastUsedAt` is written at most this often. */
const USED_EVERY_MS = 60_000;
/** A token revoked elsewhere (another server, the database) ends what it has under way within this time. */
const RECHECK_MS = 1000;

export const freshToken = (): string => `${TOKEN_MARK}${newToken()}`;

/** The token a request carries; undefined when it carries none. */
export function bearerOf(headers: { readonly authorization?: string | undefined }): string | undefined {
  return /^Bearer +(\S+) *$/i.exec(headers.authorization ?? '')?.[1];
}

@Injectable()
export class ApiTokens implements OnModuleDestroy {
  readonly #limit: RateLimiterPostgres;
  readonly #underWay = new Map<string, Set<IncomingMessage>>();
  readonly #timer: NodeJS.Timeout;

  constructor(@Inject(CONFIG) private readonly config: ServerConfig) {
    this.#limit = storedLimiter(config.database, 'token', {
      points: REQUESTS_PER_MINUTE,
      duration: Minute,
    });
    this.#timer = setInterval(() => void this.#recheck(), RECHECK_MS);
  }

  /**
   * Whose token it is, for one more request of it.
   * @throws Refused (401) when it is unknown, over or revoked, or its owner may no longer come in; (429) when it asks
   *   too often
   */
  async admit(token: string): Promise<SignedIn> {
    const person = await this.find(token);
    if (!person) {
      throw new Refused(401, {
        code: 'token-refused',
        message: 'This access token is not known, has run out or was revoked.',
        remedy: 'Make another one on your own page.',
      });
    }
    await withinLimits(
      () => this.#limit.consume(person.sessionHash),
      (seconds) => `This access token asks too often. Wait ${seconds} s.`,
    );
    return person;
  }

  async find(token: string): Promise<SignedIn | undefined> {
    const tokenHash = hashToken(token);
    const { prisma } = this.config.database;
    const row = await prisma.apiToken.findUnique({ where: { tokenHash }, include: { account: true } });
    const now = Date.now();
    if (!row || row.revokedAt !== null || row.expiresAt.getTime() <= now) return undefined;
    if (row.account.disabledAt !== null) return undefined;
    if ((row.lastUsedAt?.getTime() ?? 0) < now - USED_EVERY_MS)
      await prisma.apiToken.updateMany({ where: { tokenHash }, data: { lastUsedAt: new Date(now) } });
    const { id, name, email, role } = row.account;
    return { id, name, email, role, sessionHash: tokenHash, scopes: row.scopes as Scope[] };
  }

  /** Cuts a request off when its token dies while it is under way, such as an upload. */
  watch(tokenHash: string, request: IncomingMessage): void {
    // Read to its end: nothing of it is still to come.
    if (request.destroyed || request.readableEnded) return;
    const others = this.#underWay.get(tokenHash) ?? new Set();
    this.#underWay.set(tokenHash, others.add(request));
    request.once('close', () => {
      others.delete(request);
      if (others.size === 0 && this.#underWay.get(tokenHash) === others) this.#underWay.delete(tokenHash);
    });
  }

  /** Those of these hashes whose tokens are good now. */
  async live(hashes: readonly string[]): Promise<ReadonlySet<string>> {
    const rows = await this.config.database.prisma.apiToken.findMany({
      where: {
        tokenHash: { in: [...hashes] },
        revokedAt: null,
        expiresAt: { gt: new Date() },
        account: { disabledAt: null },
      },
      select: { tokenHash: true },
    });
    return new Set(rows.map(({ tokenHash }) => tokenHash));
  }

  async #recheck(): Promise<void> {
    const hashes = [...this.#underWay.keys()];
    if (hashes.length === 0) return;
    try {
      const live = await this.live(hashes);
      for (const hash of hashes) if (!live.has(hash)) this.#cutOff(hash);
    } catch (error) {
      this.config.report(error as Error, 'tokens');
    }
  }

  #cutOff(tokenHash: string): void {
    for (const request of this.#underWay.get(tokenHash) ?? []) request.destroy();
    this.#underWay.delete(tokenHash);
  }

  onModuleDestroy(): void {
    clearInterval(this.#timer);
  }
}
