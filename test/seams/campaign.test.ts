/** Recomputing the archive by a newer algorithm: progress, cancel, kill, and the earlier results kept; on both back ends. */
import { setTimeout as sleep } from 'node:timers/promises';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import type { AnalysisView, CampaignView, FeedEvent } from '../../libs/contracts/index.js';
import type { Database } from '../../libs/store/database.js';
import { databaseOf } from './databaseOf.js';
import { addEarlierResults, EARLIER, EARLIER_ERROR_OHM } from './earlierVersion.js';
import { backEnds, makeInstallation, type Installation, type RunningInstallation } from './installation.js';
import { inventedImpedance } from './inventedOrbits.js';
import { follow, join, makeUnit, refusalOf, setUpOwner, visit, waitFor, type Visitor } from './visitor.js';

const UNITS = 24;
const LOST = 3;
const GARBLED = 5;
/** The oldest, so the last in turn. */
const ASKED_ANEW = 0;

describe.each(backEnds)('recomputing the archive on %s', (backEnd) => {
  let installation: Installation;
  let server: RunningInstallation;
  let host: Visitor;
  let database: Database;
  let unitIds: string[];
  let minimumOhm: number;

  beforeAll(async () => {
    installation = await makeInstallation(backEnd);
    server = await installation.start();
    host = await setUpOwner(server.url);
    database = await databaseOf(installation);
    const { unit, loan } = await makeUnit(host);
    const analysis = await analyse(host, unit.id, inventedImpedance(5));
    minimumOhm = Number(analysis.summary?.['minimumOhm']);
    const garbled = await host.client.addSet(unit.id, { name: 'garbled' });
    const put = await host.put(garbled.id, 'impedance.csv', 'no numbers here\n');
    const [file] = ((await put.json()) as { kept: { sha256: string }[] }).kept;
    await host.client.changeSet(garbled.id, { version: garbled.version, setAsideWhy: 'not a measurement' });
    const kept = Array.from({ length: UNITS }, (_unused, index) => {
      if (index === LOST) return { inputs: [{ file: 'impedance.csv', sha256: '0'.repeat(64) }] };
      if (index === GARBLED) return { inputs: [{ file: 'impedance.csv', sha256: file?.sha256 ?? '' }] };
      return {};
    });
    unitIds = await addEarlierResults(database, loan.id, analysis.id, kept);
  });
  afterAll(async () => {
    await database.close();
    await installation.remove();
  });

  it('says how much is outdated, and lets only the owner begin', async () => {
    const overview = await host.client.campaigns();
    expect(overview).toMatchObject({ outdated: UNITS, campaigns: [] });
    expect(overview.algorithmVersion).not.toBe(EARLIER);
    const editor = await join(host, 'editor', 'Cai Moor');
    expect((await refusalOf(editor.client.startCampaign())).status).toBe(403);
    expect((await editor.client.campaigns()).outdated).toBe(UNITS);
  });

  it('stops when it is cancelled: what is done stays, nothing more changes', async () => {
    const { id, total } = await host.client.startCampaign();
    expect(total).toBe(UNITS);
    expect((await refusalOf(host.client.startCampaign())).refusal.code).toBe('campaign-running');
    await progressOf(host, id, ({ done }) => done >= 3);
    const cancelled = await host.client.cancelCampaign(id);
    expect(cancelled.state).toBe('cancelled');
    expect(cancelled.done).toBeLessThan(UNITS / 2);
    const before = await archived(database);
    await sleep(2500);
    expect(await archived(database)).toEqual(before);
    expect(before.filter((version) => version !== EARLIER)).toHaveLength(cancelled.done);
    expect(await host.client.campaign(id)).toEqual(cancelled);
    expect((await host.client.campaigns()).outdated).toBe(UNITS - cancelled.done);
    expect((await refusalOf(host.client.cancelCampaign(id))).refusal.code).toBe('campaign-ended');
  });

  it('goes on after a kill, lets an analysis somebody waits for pass, and applies everything once', async () => {
    const { outdated } = await host.client.campaigns();
    const { id, total } = await host.client.startCampaign();
    expect(total).toBe(outdated);
    await progressOf(host, id, ({ done }) => done >= 3);
    await server.kill();
    await database.close();
    server = await installation.start();
    database = await databaseOf(installation);
    host = visit(server.url, host.cookie());

    const [set] = await host.client.sets(unitIds[ASKED_ANEW] ?? '');
    await host.client.requestAnalysis(set?.id ?? '', { settings: { maximumFilters: 2 } });
    const { unit } = await makeUnit(host);
    await analyse(host, unit.id, inventedImpedance(7));
    const meanwhile = await host.client.campaign(id);
    expect(meanwhile.state).toBe('running');
    expect(meanwhile.done + meanwhile.failed).toBeLessThan(total);

    const watching = await follow(host);
    const finished = await progressOf(host, id, ({ state }) => state !== 'running', 60_000);
    expect(finished).toMatchObject({
      state: 'done',
      done: total - 3,
      current: 1,
      failed: 2,
      startedBy: 'Ida Rask',
    });
    await waitFor(
      () => (progressEvents(watching.events, id).at(-1)?.state === 'done' ? true : undefined),
      'the news',
    );
    watching.socket.close();
    await expectToldInOrder(host, id, total);
  });

  it('keeps the earlier results beside the new ones, each set with one new analysis', async () => {
    for (const [index, unitId] of unitIds.entries()) {
      const failed = index === LOST || index === GARBLED;
      const [set] = await host.client.sets(unitId);
      const [newest, ...earlier] = set?.analyses ?? [];
      expect(set?.analyses.map(({ state }) => state)).toEqual(failed ? ['done'] : ['done', 'done']);
      expect(newest?.summary?.['minimumOhm']).toBeCloseTo(minimumOhm + (failed ? EARLIER_ERROR_OHM : 0), 9);
      if (failed) continue;
      const settings =
        index === ASKED_ANEW ? { maximumFilters: 2 } : { maximumFilters: 1, maximumBoostDb: index / 100 };
      expect(newest?.settings).toMatchObject(settings);
      expect(newest?.figures.length).toBeGreaterThan(0);
      expect(earlier[0]).toMatchObject({ algorithmVersion: EARLIER, current: false });
      expect(earlier[0]?.summary?.['minimumOhm']).toBeCloseTo(minimumOhm + EARLIER_ERROR_OHM, 9);
    }
    const figure = await host.fetch(
      (await host.client.sets(unitIds[0] ?? ''))[0]?.analyses[0]?.figures[0]?.svgUrl ?? '',
    );
    expect(await figure.text()).toMatch(/^<svg[\s>]/);
    const numbers = (await host.client.archive({ text: 'unit', pageSize: 100 })).rows.map(
      (row) => row.numbers.minimumOhm ?? 0,
    );
    expect(numbers.filter((value) => Math.abs(value - minimumOhm) < 1e-9)).toHaveLength(UNITS - 2);
  });

  it('names what it could not recompute, and has nothing else left to do', async () => {
    const { campaigns, outdated } = await host.client.campaigns();
    expect(outdated).toBe(2);
    const { failures } = await host.client.campaign(campaigns[0]?.id ?? '');
    expect(failures.map(({ setName }) => setName).sort()).toEqual([`Set ${LOST}`, `Set ${GARBLED}`]);
    const reasonOf = (index: number) => failures.find(({ setName }) => setName === `Set ${index}`)?.reason;
    expect(reasonOf(GARBLED)).toContain('impedance.csv');
    expect(reasonOf(LOST)).not.toBe('');
    const sentences = (await host.client.history()).map(({ sentence }) => sentence);
    expect(sentences).toContainEqual(
      expect.stringMatching(/^recomputed \d+ sets by version .*; 2 could not be/),
    );
    expect(sentences).toContainEqual(expect.stringMatching(/^stopped recomputing after \d+ of 24 sets$/));
  });
});

async function analyse(
  visitor: Visitor,
  unitId: string,
  file: { name: string; bytes: Uint8Array },
): Promise<AnalysisView> {
  const set = await visitor.client.addSet(unitId, { name: 'on the rig' });
  await visitor.put(set.id, file.name, file.bytes);
  const { id } = await visitor.client.requestAnalysis(set.id);
  return waitFor(async () => {
    const now = await visitor.client.analysis(id);
    return now.state === 'done' ? now : undefined;
  }, 'the analysis');
}

const progressOf = (
  visitor: Visitor,
  id: string,
  reached: (campaign: CampaignView) => boolean,
  patienceMs = 30_000,
) =>
  waitFor(
    async () => {
      const campaign = await visitor.client.campaign(id);
      return reached(campaign) ? campaign : undefined;
    },
    'the campaign',
    patienceMs,
  );

async function archived({ prisma }: Database): Promise<string[]> {
  const units = await prisma.unit.findMany({
    where: { name: { startsWith: 'Unit ' } },
    orderBy: { id: 'asc' },
  });
  const rows = await prisma.$queryRaw<{ unitId: string; algorithmVersion: string }[]>`
    select "unitId", "algorithmVersion" from "ArchivedUnit"`;
  return units.map(({ id }) => rows.find(({ unitId }) => unitId === id)?.algorithmVersion ?? '');
}

const progressEvents = (events: readonly FeedEvent[], id: string): CampaignView[] =>
  events.flatMap((event) =>
    event.type === 'campaign-progress' && event.payload.id === id ? [event.payload] : [],
  );

/** Every item counted once, in rising order, through the kill; the end told once. */
async function expectToldInOrder(visitor: Visitor, id: string, total: number): Promise<void> {
  const events: FeedEvent[] = [];
  for (let after = 0, more = true; more;) {
    const page = await visitor.client.events('team', after);
    events.push(...page.events);
    ({ upTo: after, more } = page);
  }
  const told = progressEvents(events, id);
  expect(told.map(({ done, current, failed }) => done + current + failed)).toEqual(
    Array.from({ length: total + 1 }, (_unused, index) => index),
  );
  expect(told.filter(({ state }) => state === 'done')).toHaveLength(1);
}
