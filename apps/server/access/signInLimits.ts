/**
 * Limits on guessing, kept in the database so that restarts and several servers share them. The address is the
 * connection's own unless a trusted proxy is configured: a forged forwarding header changes nothing.
 */
import { Inject, Injectable } from '@nestjs/common';
import type { RateLimiterPostgres } from 'rate-limiter-flexible';
import { hashToken } from './sessions.js';
import { storedLimiter, waitMinutes, withinLimits, type Limit } from './storedLimits.js';
import { CONFIG, type ServerConfig } from '../serverConfig.js';

const Minute = 60;
/** From one address on one account; a stranger elsewhere cannot lock the account's owner out with it. */
const PER_PAIR = { points: 8, duration: 15 * Minute };
const PER_ACCOUNT = { points: 100, duration: 60 * Minute };
const PER_ADDRESS = { points: 60, duration: 15 * Minute };

@Injectable()
export class SignInLimits {
  readonly #pair: RateLimiterPostgres;
  readonly #account: RateLimiterPostgres;
  readonly #address: RateLimiterPostgres;

  constructor(@Inject(CONFIG) config: ServerConfig) {
    const make = (keyPrefix: string, limit: Limit) => storedLimiter(config.database, keyPrefix, limit);
    this.#pair = make('pair', PER_PAIR);
    this.#account = make('account', PER_ACCOUNT);
    this.#address = make('address', PER_ADDRESS);
  }

  /** Counts one try. @throws Refused (429) when there were too many */
  async count(email: string, address: string): Promise<void> {
    await withinLimits(
      async () => {
        await this.#address.consume(address);
        await this.#pair.consume(hashToken(`${email} ${address}`));
        await this.#account.consume(hashToken(email));
      },
      (seconds) => `Too many tries. ${waitMinutes(seconds)}`,
    );
  }

  /** A right password clears the count of this account from this address, not the address's own. */
  async forget(email: string, address: string): Promise<void> {
    await this.#pair.delete(hashToken(`${email} ${address}`));
  }
}
