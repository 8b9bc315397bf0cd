/** Limits on what strangers may do with private previews, kept in the database like those on signing in. */
import { Inject, Injectable } from '@nestjs/common';
import type { RateLimiterPostgres } from 'rate-limiter-flexible';
import { storedLimiter, waitMinutes, withinLimits, type Limit } from '../access/storedLimits.js';
import { CONFIG, type ServerConfig } from '../serverConfig.js';

const Minute = 60;
/** An open page asks every few seconds whether it is still open. */
const LOOKS = { points: 240, duration: 5 * Minute };
/** Addresses that are none: few enough that guessing leads nowhere. */
const MISSES = { points: 30, duration: 15 * Minute };
const WORDS = { points: 20, duration: 10 * Minute };

@Injectable()
export class PreviewLimits {
  readonly #looks: RateLimiterPostgres;
  readonly #misses: RateLimiterPostgres;
  readonly #words: RateLimiterPostgres;

  constructor(@Inject(CONFIG) config: ServerConfig) {
    const make = (keyPrefix: string, limit: Limit) => storedLimiter(config.database, keyPrefix, limit);
    this.#looks = make('preview-looks', LOOKS);
    this.#misses = make('preview-misses', MISSES);
    this.#words = make('preview-words', WORDS);
  }

  /** @throws Refused (429) when there were too many */
  look = (address: string): Promise<void> => count(this.#looks, address);
  miss = (address: string): Promise<void> => count(this.#misses, address);
  write = (linkId: string, address: string): Promise<void> => count(this.#words, `${linkId} ${address}`);
}

const count = (limiter: RateLimiterPostgres, key: string): Promise<void> =>
  withinLimits(
    () => limiter.consume(key),
    (seconds) => `Too many at once. ${waitMinutes(seconds)}`,
  );
