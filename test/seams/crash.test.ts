/** SIGKILL in the middle of things, on both back ends: what was accepted is there, jobs finish, effects apply once. */
import { randomBytes } from 'node:crypto';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import * as tus from 'tus-js-client';
import type { AnalysisView, FeedEvent } from '../../libs/contracts/index.js';
import { measurementSet } from '../../seed/files/measurementSet.js';
import { backEnds, makeInstallation, type Installation } from './installation.js';
import { everyLoan, makeUnit, setUpOwner, visit, waitFor, type Visitor } from './visitor.js';

describe.each(backEnds)('crashes on %s', (backEnd) => {
  let installation: Installation;
  beforeEach(async () => {
    installation = await makeInstallation(backEnd);
  });
  afterEach(() => installation.remove());

  it('finishes a job once whose worker was killed in the middle of it', async () => {
    const server = await installation.start();
    const host = await setUpOwner(server.url);
    const asked = await askForAnalysis(host);
    await waitFor(
      async () => ((await host.client.analysis(asked.id)).state === 'analysing' ? true : undefined),
      'the job to be at work',
    );
    await server.kill();

    const again = await installation.start();
    const back = visit(again.url, host.cookie());
    const done = await waitFor(
      async () => {
        const now = await back.client.analysis(asked.id);
        return now.state === 'done' ? now : undefined;
      },
      'the killed job to finish',
      60_000,
    );
    expect(done.figures.length).toBeGreaterThan(0);
    const { events } = await back.client.events('team', 0);
    expect(finishesOf(events, asked.id)).toBe(1);
    expectNoGap(events);
  });

  it('leaves an analysis at the end of a step when it is told to stop, and the next start finishes it once', async () => {
    const server = await installation.start();
    const host = await setUpOwner(server.url);
    const asked = await askForAnalysis(host);
    await waitFor(
      async () => ((await host.client.analysis(asked.id)).state === 'reading' ? true : undefined),
      'the job to be at work',
    );
    expect(await server.stop()).toBe(0);
    const stopped = Date.now();

    const again = await installation.start();
    const back = visit(again.url, host.cookie());
    await waitFor(
      async () => ((await back.client.analysis(asked.id)).state === 'done' ? true : undefined),
      'the analysis to finish',
      60_000,
    );
    const { events } = await back.client.events('team', 0);
    expect(finishesOf(events, asked.id)).toBe(1);
    const finished = events.find((event) => event.type === 'analysis-finished');
    expect(Date.parse(finished?.at ?? '')).toBeGreaterThan(stopped);
    expectNoGap(events);
  });

  it('loses nothing that was acknowledged when the server is killed mid-upload, and the upload goes on', async () => {
    const server = await installation.start();
    const host = await setUpOwner(server.url);
    const { unit } = await makeUnit(host);
    const set = await host.client.addSet(unit.id, { name: 'under way' });
    const small = measurementSet('sedge-5', { seed: 1, parts: ['impedance'] });
    for (const { name, bytes } of small) expect((await host.put(set.id, name, bytes)).status).toBe(200);

    const large = randomBytes(24 * 1024 * 1024);
    const uploading = upload(server.url, host, set.id, large);
    await uploading.begun;
    await server.kill();
    await uploading.broken;

    const again = await installation.start();
    const back = visit(again.url, host.cookie());
    expect((await back.client.set(set.id)).files.map(({ name }) => name).sort()).toEqual(
      small.map(({ name }) => name).sort(),
    );
    await uploading.goOn(again.url);
    const files = (await back.client.set(set.id)).files;
    expect(files).toHaveLength(small.length + 1);
    const kept = files.find(({ name }) => name === 'h+000.wav');
    const bytes = Buffer.from(await (await back.fetch(`/api/files/${kept?.id ?? ''}`)).arrayBuffer());
    expect(bytes.equals(large)).toBe(true);
  });

  it('keeps every acknowledged write through kills under load', async () => {
    let server = await installation.start();
    const host = await setUpOwner(server.url);
    const maker = await host.client.addMaker({ name: 'Kept (invented)' });
    const acknowledged: string[] = [];
    for (let round = 0; round < 3; round++) {
      const visitor = visit(server.url, host.cookie());
      const enough = acknowledged.length + 8;
      const writing = (async () => {
        for (let at = 0; ; at++) {
          const title = `loan ${round}-${at}`;
          try {
            acknowledged.push((await visitor.client.addLoan({ makerId: maker.id, title })).id);
          } catch {
            // Killed before it answered: it may or may not be there, and nobody was told that it is.
            return;
          }
        }
      })();
      await waitFor(
        () => (acknowledged.length >= enough ? true : undefined),
        'some writes to be acknowledged',
      );
      await server.kill();
      await writing;
      server = await installation.start();
    }
    const there = new Set((await everyLoan(visit(server.url, host.cookie()))).map(({ id }) => id));
    expect(acknowledged.length).toBeGreaterThanOrEqual(24);
    expect(acknowledged.filter((id) => !there.has(id))).toEqual([]);
  });
});

async function askForAnalysis(host: Visitor): Promise<AnalysisView> {
  const { unit } = await makeUnit(host);
  const set = await host.client.addSet(unit.id, { name: 'to be killed' });
  for (const { name, bytes } of measurementSet('sedge-5', { seed: 1 })) await host.put(set.id, name, bytes);
  return host.client.requestAnalysis(set.id);
}

const finishesOf = (events: readonly FeedEvent[], id: string): number =>
  events.filter((event) => event.type === 'analysis-finished' && event.payload.id === id).length;

function expectNoGap(events: readonly FeedEvent[]): void {
  const numbers = events.map(({ number }) => number);
  expect(numbers).toEqual(Array.from({ length: numbers.length }, (_unused, index) => index + 1));
}

interface Uploading {
  readonly begun: Promise<void>;
  readonly broken: Promise<void>;
  goOn(url: string): Promise<void>;
}

/** In parts, by the same client library the dashboard uses, so that a part is under way when the server dies. */
function upload(url: string, host: Visitor, setId: string, bytes: Buffer): Uploading {
  let begun = (): void => undefined;
  let broken = (): void => undefined;
  const hasBegun = new Promise<void>((resolve) => (begun = resolve));
  const hasBroken = new Promise<void>((resolve) => (broken = resolve));
  const options = {
    chunkSize: 1024 * 1024,
    metadata: { setId, filename: 'h+000.wav' },
    headers: { cookie: host.cookie() },
    retryDelays: [],
  };
  const first = new tus.Upload(bytes, {
    ...options,
    endpoint: `${url}/api/uploads`,
    onChunkComplete: (_size, accepted) => accepted > 3 * 1024 * 1024 && begun(),
    onError: () => broken(),
  });
  first.start();
  return {
    begun: hasBegun,
    broken: hasBroken,
    goOn: (nextUrl) =>
      new Promise((resolve, reject) => {
        const place = new URL(first.url ?? '', url);
        const again = new tus.Upload(bytes, {
          ...options,
          uploadUrl: `${nextUrl}${place.pathname}`,
          onSuccess: () => resolve(),
          onError: reject,
        });
        again.start();
      }),
  };
}
