/** Work that ends its worker each time: set aside with a reason, while other work goes on, and tried again when asked. */
import { afterAll, beforeAll, expect, it } from 'vitest';
import { failedWork, retryWork, type FailedWork } from '../../apps/server/failures/failedWork.js';
import type { Database } from '../../libs/store/database.js';
import { change, noteSetAside, theHouse } from '../../libs/store/index.js';
import { measurementSet } from '../../seed/files/measurementSet.js';
import { databaseOf } from './databaseOf.js';
import { makeInstallation, type Installation, type RunningInstallation } from './installation.js';
import { makeUnit, setUpOwner, visit, waitFor, type Visitor } from './visitor.js';

let installation: Installation;
let server: RunningInstallation;
let host: Visitor;
beforeAll(async () => {
  installation = await makeInstallation('embedded');
  server = await installation.start({ SOJOURN_THREADS: '1' });
  host = await setUpOwner(server.url);
});
afterAll(() => installation.remove());

async function ask(unitId: string, name: string, seed: number, parts?: ['impedance']): Promise<string> {
  const set = await host.client.addSet(unitId, { name });
  for (const file of measurementSet('sedge-5', parts ? { seed, parts } : { seed }))
    await host.put(set.id, file.name, file.bytes);
  return (await host.client.requestAnalysis(set.id)).id;
}

async function withDatabase<T>(work: (database: Database) => Promise<T>): Promise<T> {
  const database = await databaseOf(installation);
  try {
    return await work(database);
  } finally {
    await database.close();
  }
}

/** Until a worker is at a step of it; `false` once it was set aside. */
const atWork = (id: string): Promise<boolean> =>
  withDatabase((database) =>
    waitFor(
      async () => {
        const { rows } = await database.pool.query<{ state: string; active: boolean }>(
          `select c."state", exists (select 1 from queues.job j where j.state = 'active'
             and j.data->>'computationId' = c."id") as "active"
           from "Computation" c join "Analysis" a on a."computationId" = c."id" where a."id" = $1`,
          [id],
        );
        if (rows[0]?.state === 'quarantined') return false;
        return rows[0]?.active ? true : undefined;
      },
      'the work to begin',
      60_000,
    ),
  );

const untilDone = (id: string) =>
  waitFor(async () => ((await host.client.analysis(id)).state === 'done' ? true : undefined), `${id} done`);

it('is set aside after its worker ended with it again and again, and others go on', async () => {
  const { unit } = await makeUnit(host);
  const poison = await ask(unit.id, 'ends its worker', 1);
  const innocent = await ask(unit.id, 'waits behind it', 2, ['impedance']);
  let kills = 0;
  while (await atWork(poison)) {
    expect(kills++, 'it is not tried for ever').toBeLessThan(12);
    await server.kill();
    server = await installation.start({ SOJOURN_THREADS: '1' });
    host = visit(server.url, host.cookie());
  }
  expect(kills).toBeGreaterThan(2);
  await untilDone(innocent);

  const { reason } = await host.client.analysis(poison);
  expect(reason).toMatch(/The program ended \d+ times while this was at work/);
  const listed = await withDatabase(failedWork);
  expect(listed).toEqual([
    expect.objectContaining<Partial<FailedWork>>({
      kind: 'analysis',
      what: 'Analysing “ends its worker” of Heron 3',
      reason: reason ?? '',
    }),
  ]);

  await host.client.retryAnalysis(poison);
  await untilDone(poison);
  expect(await withDatabase(failedWork)).toEqual([]);
}, 240_000);

it('lists every kind of given up work, and tries each again', async () => {
  const { unit, loan } = await makeUnit(host);
  const { id: accountId } = (await host.client.session()).person ?? { id: '' };
  await withDatabase(async (database) => {
    const { prisma } = database;
    const message = await prisma.delivery.create({
      data: {
        accountId,
        channel: 'webhook',
        about: 'x',
        kind: 'test',
        sentence: 'x',
        state: 'failed',
        reason: 'gone',
      },
    });
    const bundle = await prisma.publication.create({
      data: {
        loanId: loan.id,
        purpose: 'preview',
        state: 'refused',
        title: 'Heron 3',
        askedByName: 'Ida',
        reason: 'The bundle could not be built. It failed 3 times: no',
      },
    });
    const backup = await prisma.backupRun.create({
      data: { cause: 'by-hand', askedBy: 'Ida', state: 'failed' },
    });
    await change(database, theHouse, (made) =>
      noteSetAside(made, 'clear-old', { asked: 'by the clock' }, 'It failed: once'),
    );
    const failures = await failedWork(database);
    expect(failures.map(({ kind, id }) => `${kind} ${id}`).sort()).toEqual(
      [`message ${message.id}`, `bundle ${bundle.id}`, `backup ${backup.id}`, 'house clear-old'].sort(),
    );
    const recipe = { algorithmVersion: '0', settings: {} };
    for (const { kind, id } of failures)
      expect(await change(database, theHouse, (made) => retryWork(made, kind, id, recipe))).toBe(true);
    // The bundle and the backup succeed now; the message has no address to go to and waits for its next try.
    await waitFor(async () => {
      const open = await failedWork(database);
      const { state } = await prisma.publication.findUniqueOrThrow({ where: { id: bundle.id } });
      const made = await prisma.backupRun.findFirst({ where: { state: 'done' } });
      return open.length === 0 && state === 'ready' && made ? true : undefined;
    }, 'what was tried again to end');
    const tried = await waitFor(async () => {
      const row = await prisma.delivery.findUniqueOrThrow({ where: { id: message.id } });
      return row.attempts > 0 && row.state === 'waiting' ? row : undefined;
    }, 'the message to be tried');
    expect(tried.reason).toBe('No webhook address is set.');
    expect(await change(database, theHouse, (made) => retryWork(made, 'bundle', bundle.id, recipe))).toBe(
      false,
    );
  });
  expect(unit.id).toBeTruthy();
});
