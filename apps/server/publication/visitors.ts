/**
 * Visitors without an account: told apart by the connection's own address (a forwarding header counts only behind a
 * proxy that is configured as trusted), kept as a hash that cannot be turned back without the house's own salt.
 */
import { createHmac } from 'node:crypto';
import { Inject, Injectable } from '@nestjs/common';
import ipaddr from 'ipaddr.js';
import { RateLimiterMemory, type RateLimiterPostgres } from 'rate-limiter-flexible';
import { publicationHouse } from '../../../libs/store/index.js';
import { storedLimiter, withinLimits, type Limit } from '../access/storedLimits.js';
import { CONFIG, type ServerConfig } from '../serverConfig.js';

const Minute = 60;
const Hour = 60 * Minute;
const READS = { points: 600, duration: Minute };
const ANSWERS_PER_VISITOR = { points: 10, duration: Hour };
const ANSWERS_PER_REVIEW_AND_VISITOR = { points: 2, duration: 24 * Hour };
const ANSWERS_PER_REVIEW = { points: 500, duration: 24 * Hour };

@Injectable()
export class Visitors {
  /** Reading is counted in memory: it need not survive a restart, and must cost next to nothing. */
  readonly #reads = new RateLimiterMemory({ keyPrefix: 'reads', ...READS });
  readonly #answers: RateLimiterPostgres;
  readonly #answersHere: RateLimiterPostgres;
  readonly #answersOfReview: RateLimiterPostgres;

  constructor(@Inject(CONFIG) private readonly config: ServerConfig) {
    const make = (keyPrefix: string, limit: Limit) => storedLimiter(config.database, keyPrefix, limit);
    this.#answers = make('answers', ANSWERS_PER_VISITOR);
    this.#answersHere = make('answers-here', ANSWERS_PER_REVIEW_AND_VISITOR);
    this.#answersOfReview = make('answers-of', ANSWERS_PER_REVIEW);
  }

  async hashOf(address: string): Promise<string> {
    const { visitorSalt } = await publicationHouse(this.config.database.prisma);
    return createHmac('sha256', visitorSalt).update(networkOf(address)).digest('hex');
  }

  /** @throws Refused (429) */
  async countRead(address: string): Promise<void> {
    await counting('Too many pages at once', () => this.#reads.consume(networkOf(address)));
  }

  /** @throws Refused (429) */
  async countAnswer(visitorHash: string, loanId: string): Promise<void> {
    const message = 'Thank you, that is enough from here for now';
    await counting(message, () => this.#answersHere.consume(`${loanId} ${visitorHash}`));
    await counting(message, () => this.#answers.consume(visitorHash));
    await counting('This review has had many answers today', () => this.#answersOfReview.consume(loanId));
  }
}

/** Who holds one IPv6 address usually holds the whole /64. */
export function networkOf(address: string): string {
  if (!ipaddr.isValid(address)) return address;
  const parsed = ipaddr.process(address);
  return parsed.kind() === 'ipv6' ? parsed.toByteArray().slice(0, 8).join('.') : parsed.toString();
}

const counting = (what: string, consume: () => Promise<unknown>): Promise<void> =>
  withinLimits(consume, (seconds) => {
    const wait = seconds < 120 ? `${seconds} s` : `${Math.ceil(seconds / 60)} minutes`;
    return `${what}. Try again in ${wait}.`;
  });
