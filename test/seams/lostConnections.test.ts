/** Connections that go in the middle of things: those to the database are found again, those of clients do not hold the server. */
import { afterAll, beforeAll, expect, it } from 'vitest';
import { databaseOf } from './databaseOf.js';
import { makeInstallation, type Installation, type RunningInstallation } from './installation.js';
import { waitFor } from './visitor.js';

let installation: Installation;
let server: RunningInstallation;
beforeAll(async () => {
  installation = await makeInstallation('embedded');
  server = await installation.start();
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

it('stops with code 0 while clients go on asking on connections they keep', async () => {
  const stopped = new AbortController();
  const answers: number[] = [];
  const asking = Array.from({ length: 4 }, async () => {
    while (!stopped.signal.aborted) {
      const answer = await fetch(`${server.url}/api/session`).catch(() => undefined);
      if (!answer) return;
      await answer.arrayBuffer();
      answers.push(answer.status);
    }
  });
  await waitFor(() => (answers.length > 50 ? true : undefined), 'some answers');
  expect(await server.stop()).toBe(0);
  stopped.abort();
  await Promise.all(asking);
  expect(answers.every((status) => status === 200 || status === 503)).toBe(true);
});
