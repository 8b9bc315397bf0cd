/**
 * Connections that go in the middle of things, or stay and take nothing: those to the database are found again, those of
 * clients neither hold the server nor fill its memory.
 */
import { request } from 'node:http';
import type { Socket as Wire } from 'node:net';
import type { FollowReply } from '../../libs/contracts/index.js';
import { afterAll, beforeAll, expect, it } from 'vitest';
import { databaseOf } from './databaseOf.js';
import { makeInstallation, type Installation, type RunningInstallation } from './installation.js';
import { follow, makeUnit, setUpOwner, waitFor, type Visitor } from './visitor.js';

let installation: Installation;
let server: RunningInstallation;
let host: Visitor;
beforeAll(async () => {
  installation = await makeInstallation('embedded');
  server = await installation.start({ SOJOURN_UPLOADS_AT_ONCE: '1' });
  host = await setUpOwner(server.url);
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

it('has the database end what a client that cannot be reached leaves with it', async () => {
  const database = await databaseOf(installation);
  try {
    const told = await database.pool.query<{ idle: string; within: string }>(
      `select current_setting('idle_session_timeout') as "idle",
              current_setting('idle_in_transaction_session_timeout') as "within"`,
    );
    expect(told.rows).toEqual([{ idle: '45s', within: '15s' }]);
    // Those of the server itself too, whichever part of it opened them.
    const resting = await database.pool.query<{ longest: number }>(
      `select extract(epoch from max(now() - state_change))::float as "longest"
       from pg_stat_activity where backend_type = 'client backend' and state = 'idle'`,
    );
    expect(resting.rows[0]?.longest).toBeLessThan(45);
  } finally {
    await database.close();
  }
});

it('cuts a reader that takes nothing, and tells it everything when it comes back', async () => {
  const { socket, events } = await follow(host);
  const heardBefore = events.at(-1)?.number ?? 0;
  const { transport } = socket.io.engine as unknown as { transport: { ws: { _socket: Wire } } };
  transport.ws._socket.pause();
  const database = await databaseOf(installation);
  try {
    await database.pool.query(
      `with counted as (update "FeedCounter" set "number" = "number" + $1 returning "number" - $1 as "before")
       insert into "FeedEvent" ("number", "room", "type", "payload")
       select "before" + n, 'team', 'loan-changed', jsonb_build_object('sentence', repeat('x', 10000))
       from counted, generate_series(1, $1) n`,
      [MANY],
    );
  } finally {
    await database.close();
  }
  await waitFor(
    async () => ((await figure('sojourn_slow_sockets_cut_total')) === 1 ? true : undefined),
    'the cut',
  );
  expect(await figure('sojourn_open_sockets')).toBe(0);

  const back = new Promise<void>((resolve) => socket.once('connect', () => resolve()));
  transport.ws._socket.resume();
  await back;
  const heard = new Set<number>();
  for (let after = heardBefore, more = true; more;) {
    const reply = (await socket.emitWithAck('follow', { room: 'team', after })) as FollowReply;
    if (!reply.ok) throw new Error(reply.message);
    for (const { number } of reply.events) heard.add(number);
    ({ more } = reply);
    after = reply.upTo;
  }
  socket.disconnect();
  expect(heard.size).toBe(MANY);
});

it('tells an upload to come again when too many arrive at once, before it takes any of it', async () => {
  const { unit } = await makeUnit(host);
  const set = await host.client.addSet(unit.id, { name: 'at once' });
  const { slow, answered, putOff } = await waitFor(async () => {
    const arriving = slowUpload(set.id);
    // Whichever comes first is taken: until the slow one was, they meet again.
    for (let others = 0; others < 50 && arriving.status() === undefined; others++) {
      const answer = await host.put(set.id, 'other.csv', '30,2\n');
      if (answer.status === 503) return { ...arriving, putOff: answer };
    }
    arriving.slow.destroy();
    return undefined;
  }, 'an answer while the other arrives');
  expect(Number(putOff.headers.get('retry-after'))).toBeGreaterThan(0);
  expect(await putOff.json()).toMatchObject({
    code: 'uploads-busy',
    remedy: expect.stringContaining('again'),
  });

  slow.end('30,2\n');
  expect(await answered).toBe(200);
  expect((await host.put(set.id, 'third.csv', '30,2\n')).status).toBe(200);
  expect((await host.client.set(set.id)).files.map(({ name }) => name)).toEqual(
    expect.arrayContaining(['slow.csv', 'third.csv']),
  );
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

/** A file of which the first line has come and the rest has not. */
function slowUpload(setId: string) {
  let status: number | undefined;
  const slow = request(`${server.url}/api/sets/${setId}/files?name=slow.csv`, {
    method: 'PUT',
    headers: { cookie: host.cookie(), 'content-type': 'application/octet-stream' },
  });
  // Cut off once it was told to come again.
  slow.on('error', () => undefined);
  const answered = new Promise<number>((resolve) =>
    slow.on('response', ({ statusCode = 0 }) => {
      status = statusCode;
      resolve(statusCode);
    }),
  );
  slow.write('20,1\n');
  return { slow, answered, status: () => status };
}

const MANY = 3000;

async function figure(name: string): Promise<number> {
  const text = await (await fetch(`${server.url}/metrics`)).text();
  return Number(new RegExp(`^${name} (\\S+)$`, 'm').exec(text)?.[1]);
}
