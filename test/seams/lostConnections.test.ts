/** The database goes away in the middle of things, again and again, and is found again. */
import { afterAll, beforeAll, expect, it } from 'vitest';
import { databaseOf } from './databaseOf.js';
import { makeInstallation, type Installation } from './installation.js';

let installation: Installation;
beforeAll(async () => {
  installation = await makeInstallation('embedded');
  await installation.start();
});
afterAll(() => installation.remove());

it('takes connections back that were lost inside transactions, more often than there are connections', async () => {
  const database = await databaseOf(installation);
  try {
    for (let loss = 0; loss < 5; loss++) {
      const lost = database.prisma.$transaction(async (tx) => {
        const [{ pid } = { pid: 0 }] = await tx.$queryRaw<
          { pid: number }[]
        >`select pg_backend_pid() as "pid"`;
        await database.pool.query('select pg_terminate_backend($1)', [pid]);
        return tx.maker.count();
      });
      await expect(lost).rejects.toThrow(/connection|terminat|queryable/i);
    }
    expect(await database.prisma.maker.count()).toBe(0);
  } finally {
    await database.close();
  }
});
