/** The main job end to end through the server's own doors, the same on both back ends. */
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import type { AnalysisView, FeedEvent } from '../../libs/contracts/index.js';
import { readMeasurementSet } from '../../libs/measurement-files/readMeasurementSet.js';
import { analyse } from '../../libs/acoustics/analyse.js';
import { measurementSet } from '../../seed/files/measurementSet.js';
import { backEnds, makeInstallation, type Installation, type RunningInstallation } from './installation.js';
import { follow, join, makeUnit, refusalOf, setUpOwner, waitFor, type Visitor } from './visitor.js';

describe.each(backEnds)('a loan from request to result on %s', (backEnd) => {
  let installation: Installation;
  let server: RunningInstallation;
  let host: Visitor;

  beforeAll(async () => {
    installation = await makeInstallation(backEnd);
    server = await installation.start();
    host = await setUpOwner(server.url);
  });
  afterAll(() => installation.remove());

  it('analyses an uploaded set through the queue and tells a colleague live, in the order things happened', async () => {
    const colleague = await join(host, 'cohost', 'Bo Lind');
    const { unit } = await makeUnit(host);
    const watching = await follow(colleague);
    const set = await host.client.addSet(unit.id, { name: 'on the rig' });
    const files = measurementSet('sedge-5', { seed: 1 });
    for (const { name, bytes } of files) expect((await host.put(set.id, name, bytes)).status).toBe(200);
    const asked = await host.client.requestAnalysis(set.id);
    expect(['queued', 'reading']).toContain(asked.state);

    const finished = await waitFor(
      () =>
        watching.events.find((event) => event.type === 'analysis-finished' && event.payload.id === asked.id),
      'the result on the colleague’s dashboard',
    );
    expect(finished.payload).toMatchObject({ state: 'done', unitId: unit.id });
    const numbers = watching.events.map(({ number }) => number);
    expect(numbers).toEqual([...new Set(numbers)].sort((a, b) => a - b));
    expect(statesOf(watching.events, asked.id)).toEqual([
      'queued',
      'reading',
      'analysing',
      'drawing',
      'done',
    ]);
    watching.socket.close();

    const done = await host.client.analysis(asked.id);
    expect(done.problems).toEqual([]);
    expect(done.inputs).toHaveLength(files.length);
    expect(done.algorithmVersion).not.toBe('');
    await expectSameAsLibrary(done, files, host);
    await expectFigures(done, host);
  });

  it('computes equal inputs once, and again for other settings', async () => {
    const { unit } = await makeUnit(host);
    const files = measurementSet('sedge-5', { seed: 1, parts: ['impedance'] });
    const asked: AnalysisView[] = [];
    for (const name of ['first', 'second']) {
      const set = await host.client.addSet(unit.id, { name });
      for (const file of files) await host.put(set.id, file.name, file.bytes);
      asked.push(await host.client.requestAnalysis(set.id));
      await settled(host, asked.at(-1));
    }
    expect(asked[1]?.computationId).toBe(asked[0]?.computationId);
    expect(asked[1]?.state).toBe('done');
    const other = await host.client.requestAnalysis(asked[0]?.setId ?? '', {
      settings: { rearWall: 'three' },
    });
    expect(other.computationId).not.toBe(asked[0]?.computationId);
    await settled(host, other);
  });

  it('guards the stages: names the unmet condition, lets the owner override with a reason, records who did what', async () => {
    const colleague = await join(host, 'editor', 'Cai Moor');
    const { loan } = await makeUnit(host);
    const refused = await refusalOf(colleague.client.moveLoan(loan.id, { version: 1, to: 'agreed' }));
    expect(refused.status).toBe(422);
    expect(refused.refusal.conditions?.filter(({ met }) => !met).map(({ code }) => code)).toEqual([
      'freight-agreed',
      'insured-value-agreed',
      'maker-comment-settled',
    ]);
    const reason = 'The maker confirmed everything on the phone.';
    const notAllowed = await refusalOf(
      colleague.client.moveLoan(loan.id, { version: 1, to: 'agreed', overrideReason: reason }),
    );
    expect(notAllowed.status).toBe(403);
    const moved = await host.client.moveLoan(loan.id, { version: 1, to: 'agreed', overrideReason: reason });
    expect(moved.stage).toBe('agreed');
    const history = await host.client.loanHistory(loan.id);
    expect(history[0]).toMatchObject({ by: 'Ida Rask', action: 'loan-moved-by-override' });
    expect(history[0]?.reason).toContain(reason);
  });

  it('tells the second writer, shows both versions and overwrites nothing', async () => {
    const { loan } = await makeUnit(host);
    const first = await host.client.changeLoan(loan.id, {
      version: loan.version,
      notes: 'Ring at the side door.',
    });
    const refused = await refusalOf(
      host.client.changeLoan(loan.id, { version: loan.version, notes: 'Ring twice.' }),
    );
    expect(refused.status).toBe(409);
    expect(refused.refusal.conflict).toMatchObject({
      current: { notes: 'Ring at the side door.', version: first.version },
      sent: { notes: 'Ring twice.' },
    });
    expect((await host.client.loan(loan.id)).notes).toBe('Ring at the side door.');
  });

  it('says what a unit still lacks, and will not let it go with a hole in its data', async () => {
    const { unit, loan } = await makeUnit(host);
    const set = await host.client.addSet(unit.id, { name: 'half' });
    for (const file of measurementSet('sedge-5', { seed: 1, parts: ['impedance'] })) {
      await host.put(set.id, file.name, file.bytes);
    }
    await settled(host, await host.client.requestAnalysis(set.id));
    const { plan } = await host.client.unit(unit.id);
    expect(plan.find(({ code }) => code === 'impedance')?.state).toBe('complete');
    expect(plan.find(({ code }) => code === 'horizontal-orbit')).toMatchObject({
      state: 'missing',
      stillMissing: 'not measured',
    });
    let { version } = await host.client.loan(loan.id);
    const reason = 'Only to look at the end of the road.';
    for (const to of ['agreed', 'arrived', 'measuring', 'drafting'] as const) {
      ({ version } = await host.client.moveLoan(loan.id, { version, to, overrideReason: reason }));
    }
    const refused = await refusalOf(host.client.moveLoan(loan.id, { version, to: 'returning' }));
    expect(refused.refusal.message).toContain('horizontal orbit');
    expect(refused.refusal.message).toContain('sealed listening session');
  });

  it('stops on SIGTERM with code 0 and starts again with everything there', async () => {
    const before = await host.client.loans();
    expect(await server.stop()).toBe(0);
    server = await installation.start();
    const again = { ...host, ...(await import('./visitor.js')).visit(server.url, host.cookie()) };
    expect((await again.client.loans()).map(({ id }) => id)).toEqual(before.map(({ id }) => id));
  });
});

function statesOf(events: readonly FeedEvent[], analysisId: string): string[] {
  const states = events.flatMap((event) =>
    (event.type === 'analysis-progress' || event.type === 'analysis-finished') &&
    event.payload.id === analysisId
      ? [event.payload.state]
      : [],
  );
  return states.filter((state, index) => state !== states[index - 1]);
}

async function settled(visitor: Visitor, asked: AnalysisView | undefined): Promise<AnalysisView> {
  return waitFor(async () => {
    const now = await visitor.client.analysis(asked?.id ?? '');
    return ['done', 'refused', 'quarantined'].includes(now.state) ? now : undefined;
  }, 'the analysis to end');
}

/** The command line is this very call: the server's numbers are its numbers. */
async function expectSameAsLibrary(
  done: AnalysisView,
  files: readonly { name: string; bytes: Uint8Array }[],
  visitor: Visitor,
): Promise<void> {
  const answer = await visitor.fetch(done.resultUrl ?? '');
  const fromServer = (await answer.json()) as { curves: object; schema: string };
  const { set } = await readMeasurementSet(files);
  if (!set) throw new Error('The demo set could not be read.');
  const here = JSON.parse(JSON.stringify(analyse(set))) as typeof fromServer;
  expect(fromServer.schema).toBe('sojourn.analysis/1');
  expect(fromServer.curves).toEqual(here.curves);
}

async function expectFigures(done: AnalysisView, visitor: Visitor): Promise<void> {
  expect(done.figures.length).toBeGreaterThan(5);
  for (const { svgUrl, pngUrl, csvUrl, descriptionUrl } of done.figures) {
    const [svg, png, csv, description] = await Promise.all(
      [svgUrl, pngUrl, csvUrl, descriptionUrl].map(async (url) => visitor.fetch(url)),
    );
    expect(await svg?.text()).toMatch(/^<svg[\s>]/);
    expect(
      Buffer.from((await png?.arrayBuffer()) ?? [])
        .subarray(1, 4)
        .toString(),
    ).toBe('PNG');
    expect((await csv?.text())?.split('\r\n').length).toBeGreaterThan(2);
    expect(await description?.json()).toHaveProperty('title');
  }
}
