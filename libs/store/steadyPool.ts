/** Connections to the database that come back after it was away. */
import pg from 'pg';

/** How long a lost connection may stay with whoever holds it. */
const GRACE_MS = 1000;
const CONNECT_PATIENCE_MS = 10_000;

/**
 * A pool that takes a lost connection back from whoever does not give it back. Prisma keeps the one of a transaction
 * whose COMMIT or ROLLBACK failed with the connection (7.10): after a few such losses a plain pool is empty for good.
 * Nobody waits longer than some seconds for a connection; an idle one that is lost is replaced on next use.
 */
export function steadyPool(config: pg.PoolConfig): pg.Pool {
  const pool = new pg.Pool({ connectionTimeoutMillis: CONNECT_PATIENCE_MS, ...config });
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
