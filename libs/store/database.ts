/** The one way to the database: a Prisma client on a pool, and a plain pool for the few hot reads. */
import { PrismaPg } from '@prisma/adapter-pg';
import type pg from 'pg';
import { PrismaClient, type Prisma } from './generated/client.js';
import { steadyPool } from './steadyPool.js';

export type Tx = Prisma.TransactionClient;

export interface Database {
  readonly url: string;
  readonly prisma: PrismaClient;
  readonly pool: pg.Pool;
  close(): Promise<void>;
}

/** @param connections most connections held open at once by each of the two pools */
export function openDatabase(url: string, connections = 10): Database {
  const prismaPool = steadyPool({ connectionString: url, max: connections });
  const prisma = new PrismaClient({
    adapter: new PrismaPg(prismaPool),
    transactionOptions: { maxWait: 10_000, timeout: 20_000 },
  });
  const pool = steadyPool({ connectionString: url, max: connections });
  return {
    url,
    prisma,
    pool,
    close: async () => {
      await prisma.$disconnect();
      await prismaPool.end();
      await pool.end();
    },
  };
}
