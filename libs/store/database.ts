/** The one way to the database: a Prisma client on a pool, and a plain pool for the few hot reads. */
import { PrismaPg } from '@prisma/adapter-pg';
import pg from 'pg';
import { PrismaClient, type Prisma } from './generated/client.js';

export type Tx = Prisma.TransactionClient;

export interface Database {
  readonly url: string;
  readonly prisma: PrismaClient;
  readonly pool: pg.Pool;
  close(): Promise<void>;
}

/** @param connections most connections held open at once by each of the two pools */
export function openDatabase(url: string, connections = 10): Database {
  const prisma = new PrismaClient({
    adapter: new PrismaPg({ connectionString: url, max: connections }),
    transactionOptions: { maxWait: 10_000, timeout: 20_000 },
  });
  const pool = new pg.Pool({ connectionString: url, max: connections });
  // An idle connection the server closed (a restart) is replaced on next use.
  pool.on('error', () => undefined);
  return {
    url,
    prisma,
    pool,
    close: async () => {
      await prisma.$disconnect();
      await pool.end();
    },
  };
}
