/**
 * Two servers behind a balancer that remembers nobody, and two workers: what one begins another goes on with, people are
 * served in turn, and a new version is rolled out under way without anything being lost or refused.
 */
import { setTimeout as sleep } from 'node:timers/promises';
import { io } from 'socket.io-client';
import * as tus from 'tus-js-client';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { RoomFollower } from '../../apps/dashboard/src/live/RoomFollower.js';
import type { AnalysisView, FeedEvent, FollowReply } from '../../libs/contracts/index.js';
import { measurementSet } from '../../seed/files/measurementSet.js';
import { databaseOf } from './databaseOf.js';
import { hasRedis, makeInstallation, type Installation, type RunningInstallation } from './installation.js';
import type { Machine } from './machines.js';
import { everyLoan, join, makeUnit, refusalOf, setUpOwner, waitFor, type Visitor } from './visitor.js';

describe.runIf(hasRedis)('two servers and two workers', { timeout: 240_000 }, () => {
  let installation: Installation;
  let running: RunningInstallation;
  let machines: readonly Machine[];
  let host: Visitor;
  let bo: Visitor;

  beforeAll(async () => {
    installation = await makeInstallation('many-machines');
    running = await installation.start();
    machines = running.machines ?? [];
    host = await setUpOwner(running.url);
    bo = await join(host, 'cohost', 'Bo Lind');
  });
  afterAll(() => installation.remove());

  const workers = () => machines.filter(({ role }) => role === 'worker');
  const serverUrls = () => machines.filter(({ role }) => role === 'api').map((one) => one.running.url);

  it('asks for the same code at the first set-up, whichever server is reached', () => {
    const codes = machines
      .filter(({ role }) => role === 'api')
      .map(({ running: { output } }) => /with the code (\d{8})/.exec(output())?.[1]);
    expect(codes[0]).toMatch(/^\d{8}$/);
    expect(codes[1]).toBe(codes[0]);
  });

  it('lets every process be seen, and counts on each server only for who may read it', async () => {
    for (const url of serverUrls()) {
      // A server begins to answer before its sign is written.
      await waitFor(async () => {
        const text = await (await fetch(`${url}/metrics`)).text();
        const isThere = ['api', 'worker'].every((role) =>
          text.includes(`sojourn_processes_alive{role="${role}"} 2`),
        );
        return isThere ? true : undefined;
      }, 'all signs of life');
      const text = await (await fetch(`${url}/metrics`)).text();
      expect(text).toMatch(
        /sojourn_http_request_seconds_count\{method="GET",route="\/metrics",status="200"\} \d/,
      );
      expect(text).not.toContain('Bo Lind');
      const passedOn = await fetch(`${url}/metrics`, { headers: { 'x-forwarded-for': '127.0.0.1' } });
      expect(passedOn.status).toBe(404);
    }
  });

  it('counts wrong passwords over both servers', async () => {
    const statuses: number[] = [];
    for (let attempt = 0; attempt < 10; attempt++) {
      const body = JSON.stringify({ email: 'nobody@example.org', password: 'wrong every time' });
      const headers = { 'content-type': 'application/json' };
      statuses.push((await fetch(`${running.url}/api/session`, { method: 'POST', headers, body })).status);
    }
    expect(statuses.filter((status) => status !== 429)).toHaveLength(8);
  });

  it('takes an upload up on the other server, part by part, and keeps it once', async () => {
    const { unit } = await makeUnit(host);
    const set = await host.client.addSet(unit.id, { name: 'in parts' });
    const bytes = Buffer.from(Array.from({ length: 300_000 }, (_unused, at) => at % 251));
    await new Promise<void>((resolve, reject) => {
      new tus.Upload(bytes, {
        endpoint: `${running.url}/api/uploads`,
        chunkSize: 64 * 1024,
        metadata: { setId: set.id, filename: 'h+000.wav' },
        headers: { cookie: host.cookie() },
        retryDelays: [],
        onSuccess: () => resolve(),
        onError: reject,
      }).start();
    });
    const [kept, ...others] = (await host.client.set(set.id)).files;
    expect(others).toEqual([]);
    const back = await host.fetch(`/api/files/${kept?.id ?? ''}`);
    expect(Buffer.from(await back.arrayBuffer()).equals(bytes)).toBe(true);
  });

  it('shows the owner what runs, what waits and what was given up, and tries that again', async () => {
    const { unit } = await makeUnit(host);
    const asked = await ask(host, unit.id, 300);
    await settled(host, asked);
    const database = await databaseOf(installation);
    try {
      await database.pool.query(
        `update "Computation" set "state" = 'quarantined', "reason" = 'It kept ending its worker.' where "id" = $1`,
        [asked.computationId],
      );
      await database.pool.query(
        `insert into "running"."ProcessSign" select gen_random_uuid(), 'worker', 'attic', 1, '0', '0', '20', 1, 1, now(),
         now() - interval '1 minute'`,
      );
    } finally {
      await database.close();
    }
    const seen = await host.client.operations();
    const alive = seen.processes.filter((one) => one.alive).map(({ role }) => role);
    expect(alive).toEqual(['api', 'api', 'worker', 'worker']);
    expect(seen.warnings.map(({ code }) => code)).toEqual(
      expect.arrayContaining(['process-silent', 'work-given-up', 'backup-old']),
    );
    expect(seen.versions.product).toMatch(/^\d/);
    expect(seen.versions.redis).toMatch(/^\d/);
    expect(seen.storage.filesBytes).toBeGreaterThan(0);
    expect(seen.queues.map(({ queue }) => queue)).toContain('analysis');
    const [failure] = seen.failures;
    expect(failure).toMatchObject({ kind: 'analysis', reason: 'It kept ending its worker.' });
    const after = await host.client.retryFailure({ kind: 'analysis', id: asked.computationId });
    expect(after.failures).toEqual([]);
    expect((await refusalOf(bo.client.operations())).status).toBe(403);
  });

  it('serves people in turn: one analysis does not wait for all of somebody else’s', async () => {
    for (const {
      running: { pid },
    } of workers())
      process.kill(pid, 'SIGSTOP');
    const many: AnalysisView[] = [];
    let one: AnalysisView;
    try {
      const { unit } = await makeUnit(host);
      for (let seed = 1; seed <= 6; seed++) many.push(await ask(host, unit.id, seed));
      one = await ask(bo, unit.id, 100);
      const waiting = await bo.client.waiting(one.id);
      expect(waiting.ahead).toBeLessThan(many.length);
    } finally {
      for (const {
        running: { pid },
      } of workers())
        process.kill(pid, 'SIGCONT');
    }
    const all = await Promise.all([...many, one].map((asked) => settled(host, asked)));
    expect(all.map(({ state }) => state)).toEqual(all.map(() => 'done'));
    const before = many.filter((_asked, at) => (all[at]?.finishedAt ?? '') < (all.at(-1)?.finishedAt ?? ''));
    // The first of each are equal; what the workers had taken or took meanwhile may come before it too.
    expect(before.length).toBeLessThanOrEqual(3);
  });

  it('rolls a new version out under way: nothing lost, nothing doubled, nothing refused for good', async () => {
    const readers = Array.from({ length: 4 }, (_unused, at) => new Reader(at % 2 === 0 ? host : bo));
    const maker = await host.client.addMaker({ name: 'Kept (invented)' });
    const { unit } = await makeUnit(host);
    const stop = new AbortController();
    const writers = [host, bo].map((visitor, at) => write(visitor, maker.id, `writer ${at}`, stop.signal));
    const asked: AnalysisView[] = [];
    for (const machine of machines) {
      asked.push(await retried(() => ask(host, unit.id, 200 + asked.length)));
      expect(await machine.restart()).toBe(0);
    }
    stop.abort();
    const written = (await Promise.all(writers)).flat();
    expect(written.length).toBeGreaterThan(20);

    const ended = await Promise.all(asked.map((each) => settled(host, each)));
    expect(ended.map(({ state }) => state)).toEqual(asked.map(() => 'done'));
    const there = (await everyLoan(host)).map(({ title }) => title);
    expect(written.filter((title) => !there.includes(title))).toEqual([]);
    const events = await allEvents(host);
    for (const reader of readers) {
      const numbers = await waitFor(
        () => (reader.heard.at(-1)?.number === events.at(-1)?.number ? reader.numbers : undefined),
        'a reader to hear the last event',
      );
      expect(numbers).toEqual(events.map(({ number }) => number));
      reader.leave();
    }
    const finished = events.filter(({ type }) => type === 'analysis-finished').map(({ payload }) => payload);
    for (const { id } of asked) {
      expect(finished.filter((payload) => (payload as { id: string }).id === id)).toHaveLength(1);
    }
  });
});

/** An analysis of its own: no two seeds share their inputs. */
async function ask(visitor: Visitor, unitId: string, seed: number): Promise<AnalysisView> {
  const set = await visitor.client.addSet(unitId, { name: `set ${seed}` });
  for (const { name, bytes } of measurementSet('sedge-5', { seed, parts: ['impedance'] })) {
    expect((await visitor.put(set.id, name, bytes)).status).toBe(200);
  }
  return visitor.client.requestAnalysis(set.id);
}

async function settled(visitor: Visitor, asked: AnalysisView): Promise<AnalysisView> {
  const look = async () => {
    const now = await retried(() => visitor.client.analysis(asked.id));
    return ['done', 'refused', 'quarantined'].includes(now.state) ? now : undefined;
  };
  return waitFor(look, 'the analysis to end', 200_000);
}

/** As a page does: what was not answered, or by a server on its way out, is asked again. */
async function retried<T>(work: () => Promise<T>): Promise<T> {
  for (let attempt = 1; ; attempt++) {
    try {
      return await work();
    } catch (error) {
      const { status } = error as { status?: number };
      if (attempt === 10 || (status !== undefined && status < 500)) throw error;
      await sleep(100);
    }
  }
}

/** Adds loans one after the other. @returns the titles that were acknowledged */
async function write(visitor: Visitor, makerId: string, name: string, until: AbortSignal): Promise<string[]> {
  const acknowledged: string[] = [];
  for (let at = 0; !until.aborted; at++) {
    const title = `${name}-${at}`;
    await retried(() => visitor.client.addLoan({ makerId, title }));
    acknowledged.push(title);
    await sleep(40);
  }
  return acknowledged;
}

async function allEvents(visitor: Visitor): Promise<FeedEvent[]> {
  const events: FeedEvent[] = [];
  for (let after = 0; ;) {
    const page = await visitor.client.events('team', after);
    events.push(...page.events);
    if (!page.more) return events;
    after = page.upTo;
  }
}

/** An open dashboard: its own follower of the feed, on whichever server the balancer gives it. */
class Reader {
  readonly heard: FeedEvent[] = [];
  readonly #socket;

  constructor(visitor: Visitor) {
    const socket = io(visitor.url, {
      path: '/api/socket',
      extraHeaders: { cookie: visitor.cookie() },
      transports: ['websocket'],
      forceNew: true,
      reconnectionDelay: 100,
      reconnectionDelayMax: 500,
    });
    this.#socket = socket;
    const follower = new RoomFollower(
      {
        room: 'team',
        ask: async (room, after) =>
          (await socket.timeout(5000).emitWithAck('follow', { room, after })) as FollowReply,
        deliver: (events) => this.heard.push(...events),
        pause: () => sleep(200),
      },
      0,
    );
    socket.on('connect', () => void follower.connected());
    socket.on('event', (event: FeedEvent) => follower.receive(event));
    socket.on('disconnect', (reason) => {
      follower.disconnected();
      // A server that stops says so, and the client does not call back by itself then.
      if (reason === 'io server disconnect') socket.connect();
    });
  }

  get numbers(): number[] {
    return this.heard.map(({ number }) => number);
  }
  leave(): void {
    this.#socket.disconnect();
  }
}
