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
  /** How many connections each pool holds, how many of them idle, and how many are asked for. */
  connections(): { pool: string; total: number; idle: number; asking: number }[];
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
    connections: () =>
      Object.entries({ changes: prismaPool, reads: pool }).map(([name, each]) => ({
        pool: name,
        total: each.totalCount,
        idle: each.idleCount,
        asking: each.waitingCount,
      })),
    close: async () => {
      await prisma.$disconnect();
      await prismaPool.end();
      await pool.end();
    },
  };
}
