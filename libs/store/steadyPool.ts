/** Connections to the database that come back after it was away, or after the way to it was cut without a word. */
import type { Socket } from 'node:net';
import pg from 'pg';

/** How long a lost connection may stay with whoever holds it. */
const GRACE_MS = 1000;
const CONNECT_PATIENCE_MS = 10_000;
/** Longer than any question takes; a pool closes idle connections sooner. */
export const SILENCE_MS = 15_000;
/** Ours never rest that long; what does belongs to a client that cannot be reached any more. */
const ABANDONED_MS = 45_000;

/**
 * A connection that is given up when nothing has come or gone for a while: packets that are dropped on the way leave
 * both ends waiting for ever. The database likewise ends a transaction whose client fell silent, and with it its locks,
 * and in the end the connection: a few such losses would use up all it may have.
 */
export class SteadyClient extends pg.Client {
  constructor(config?: string | pg.ClientConfig) {
    const given = typeof config === 'string' ? { connectionString: config } : config;
    super({
      keepAlive: true,
      connectionTimeoutMillis: CONNECT_PATIENCE_MS,
      idle_in_transaction_session_timeout: SILENCE_MS,
      ...given,
      options: [`-c idle_session_timeout=${ABANDONED_MS}`, given?.options ?? ''].join(' ').trim(),
    });
    this.once('connect', () => {
      const { stream } = (this as unknown as { connection: { stream: Socket } }).connection;
      stream.setTimeout(SILENCE_MS, () =>
        stream.destroy(new Error('Connection terminated: the database did not answer.')),
      );
    });
  }
}

/**
 * For a connection that rests on purpose (it listens, or waits for others): asked now and then, a dead one is noticed
 * and one that lives is not given up. Ends with the connection.
 */
export function keepAwake(client: SteadyClient): void {
  let asked = false;
  const asking = setInterval(() => {
    if (asked) return;
    asked = true;
    client.query('select 1').then(
      () => (asked = false),
      // Lost: whoever holds it hears of it.
      () => clearInterval(asking),
    );
  }, SILENCE_MS / 3);
  client.once('end', () => clearInterval(asking));
}

/**
 * A pool that takes a lost connection back from whoever does not give it back. Prisma keeps the one of a transaction
 * whose COMMIT or ROLLBACK failed with the connection (7.10): after a few such losses a plain pool is empty for good.
 * Nobody waits longer than some seconds for a connection; an idle one that is lost is replaced on next use.
 */
export function steadyPool(config: pg.PoolConfig): pg.Pool {
  const pool = new pg.Pool({ Client: SteadyClient, connectionTimeoutMillis: CONNECT_PATIENCE_MS, ...config });
  const held = new Set<pg.PoolClient>();
  pool.on('error', () => undefined);
  pool.on('acquire', (client) => held.add(client));
  pool.on('release', (_error, client) => held.delete(client));
  pool.on('connect', (client) => {
    // Lost while held: its holder hears of it from the query; nobody listening would end the process.
    client.on('error', () => undefined);
    client.once('end', () => {
      const takeBack = () => {
        if (!held.has(client)) return;
        client.release(true);
        client.release = () => undefined;
      };
      setTimeout(takeBack, GRACE_MS).unref();
    });
  });
  return pool;
}
