/** Listening sessions through the server's doors: kept once however often they are sent, blind until sealed, verifiable. */
import { createHash, randomUUID } from 'node:crypto';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { canonicalJson, type KeepListening, type ListeningView } from '../../libs/contracts/index.js';
import type { Database } from '../../libs/store/index.js';
import { databaseOf } from './databaseOf.js';
import { inventedOrbits } from './inventedOrbits.js';
import { dataBackEnds, makeInstallation, type Installation } from './installation.js';
import { join, makeUnit, refusalOf, setUpOwner, visit, waitFor, type Visitor } from './visitor.js';

describe.each(dataBackEnds)('listening on %s', (backEnd) => {
  let installation: Installation;
  let database: Database;
  let ida: Visitor;
  let bo: Visitor;
  let unitId: string;
  let loanId: string;

  beforeAll(async () => {
    installation = await makeInstallation(backEnd);
    const server = await installation.start();
    ida = await setUpOwner(server.url);
    bo = await join(ida, 'cohost', 'Bo Lind');
    database = await databaseOf(installation);
    const made = await makeUnit(ida);
    unitId = made.unit.id;
    loanId = made.loan.id;
    const set = await ida.client.addSet(unitId, { name: 'on the rig' });
    const { name, bytes } = inventedOrbits({ tiltDbPerOctave: 1.5, cornerHz: 80 });
    await ida.put(set.id, name, bytes);
    const { id } = await ida.client.requestAnalysis(set.id);
    await waitFor(
      async () => ((await ida.client.analysis(id)).state === 'done' ? true : undefined),
      'the analysis to end',
    );
  });
  afterAll(async () => {
    await database.close();
    await installation.remove();
  });

  const remark = (id: string, text: string) => ({ id, text, sign: 'excess', severity: 3 }) as const;
  const written = (more: Partial<KeepListening> = {}): KeepListening => ({
    unitId,
    version: 0,
    device: 'phone',
    write: 1,
    begunAt: '2031-05-02T17:00:00Z',
    heardOn: '2031-05-02',
    placement: '2.6 m apart',
    levelDb: 78,
    sources: 'an invented string quartet',
    words: '',
    remarks: [
      remark('a', 'strings are harsh'),
      { ...remark('w', ''), sign: 'lack', descriptor: 'weak bass' },
    ],
    ...more,
  });
  const reads = async (visitor: Visitor, path: string) => (await visitor.fetch(path)).status;

  it('keeps what is sent twice once, and what follows a lost answer', async () => {
    const id = randomUUID();
    const both = await Promise.all([
      bo.client.keepListening(id, written()),
      bo.client.keepListening(id, written()),
    ]);
    expect(both.map(({ version }) => version)).toEqual([1, 1]);
    const more = [remark('a', 'strings are harsh'), remark('b', 'boomy')];
    // Its answer is taken for lost: the device goes on from the version it knows.
    await bo.client.keepListening(id, written({ version: 1, write: 2, remarks: more }));
    const third = await bo.client.keepListening(
      id,
      written({ version: 1, write: 3, remarks: more, words: 'Good.' }),
    );
    expect(third).toMatchObject({ version: 3, words: 'Good.', remarks: more });
    const late = await bo.client.keepListening(id, written({ version: 1, write: 2, remarks: more }));
    expect(late).toMatchObject({ version: 3, words: 'Good.' });
    expect((await bo.client.loan(loanId)).listening.filter((one) => one.id === id)).toHaveLength(1);

    const refused = await refusalOf(
      bo.client.keepListening(id, written({ device: 'laptop', version: 1, write: 1, words: 'Bad.' })),
    );
    expect(refused.status).toBe(409);
    expect(refused.refusal.conflict).toMatchObject({
      current: { version: 3, words: 'Good.' },
      sent: { words: 'Bad.' },
    });
    expect((await refusalOf(ida.client.keepListening(id, written()))).status).toBe(403);
    await bo.client.giveUpBlindness(id);
  });

  it('refuses remarks that cannot be: two under one id, a range that ends before it begins', async () => {
    const twice = await refusalOf(
      bo.client.keepListening(randomUUID(), written({ remarks: [remark('a', 'x'), remark('a', 'y')] })),
    );
    expect(twice.refusal.message).toContain('same id');
    const turned = { ...remark('a', 'x'), fromHz: 400, toHz: 300 };
    const range = await refusalOf(bo.client.keepListening(randomUUID(), written({ remarks: [turned] })));
    expect(range.refusal.message).toContain('begins below');
  });

  it('shows the blind no results until they seal, and the seal can be checked by anybody', async () => {
    const cai = await join(ida, 'editor', 'Cai Moor');
    const id = randomUUID();
    const open = await cai.client.keepListening(id, written());
    expect(open.blind).toBe(true);
    const refused = await refusalOf(cai.client.sets(unitId));
    expect([refused.status, refused.refusal.code]).toEqual([403, 'sealed-for-you']);
    expect(await reads(cai, `/api/units/${unitId}/evidence`)).toBe(403);
    const unit = await cai.client.unit(unitId);
    expect(unit).toMatchObject({ sealedForYou: true, dataOpened: false });
    expect(new Set(unit.plan.map(({ state }) => state))).toEqual(new Set(['sealed']));
    expect((await ida.client.unit(unitId)).plan.map(({ state }) => state)).toContain('complete');

    const sealed = await cai.client.sealListening(id, { version: open.version });
    expect(sealed).toMatchObject({ blind: true, sealedForYou: false });
    const record = await ida.client.sealRecord(id);
    expect(record).toMatchObject({ by: 'Cai Moor', blind: true, holds: true, dataOpenedAt: null });
    const text = record.sealedText ?? '';
    expect(createHash('sha256').update(text).digest('hex')).toBe(sealed.sealHash);
    expect(canonicalJson(JSON.parse(text))).toBe(text);
    expect(JSON.parse(text)).toMatchObject({ remarks: written().remarks, blind: true, listener: 'Cai Moor' });

    expect(await reads(cai, `/api/units/${unitId}/sets`)).toBe(200);
    const after = await ida.client.sealRecord(id);
    expect(Date.parse(after.dataOpenedAt ?? '')).toBeGreaterThanOrEqual(Date.parse(after.sealedAt));
    expect((await refusalOf(cai.client.keepListening(id, written({ write: 2 })))).refusal.code).toBe(
      'sealed',
    );
  });

  it('notices a session that was changed after its seal', async () => {
    const session = await sealedSession(await join(ida, 'editor', 'Dag Fell'));
    expect((await ida.client.sealRecord(session.id)).holds).toBe(true);
    await database.prisma.listeningSession.update({
      where: { id: session.id },
      data: { remarks: [remark('a', 'strings are sweet')] },
    });
    expect((await ida.client.sealRecord(session.id)).holds).toBe(false);
  });

  it('keeps later additions beside the seal, once, with their time', async () => {
    const eve = await join(ida, 'editor', 'Eve Tarn');
    const session = await sealedSession(eve);
    const addition = { id: randomUUID(), remark: remark('later', 'the bass too') };
    await eve.client.addAfterSeal(session.id, addition);
    const again = await eve.client.addAfterSeal(session.id, addition);
    expect(again.additions).toHaveLength(1);
    expect(Date.parse(again.additions[0]?.at ?? '')).toBeGreaterThan(Date.parse(session.sealedAt ?? ''));
    const record = await ida.client.sealRecord(session.id);
    expect(record.holds).toBe(true);
    expect(record.sealedText).not.toContain('the bass too');
    expect(
      (await refusalOf(ida.client.addAfterSeal(session.id, { ...addition, id: randomUUID() }))).status,
    ).toBe(403);
  });

  it('lets blindness be given up, records it, and does not call the session blind', async () => {
    const finn = await join(ida, 'editor', 'Finn Lough');
    const id = randomUUID();
    await finn.client.keepListening(id, written());
    const given = await finn.client.giveUpBlindness(id);
    expect(given).toMatchObject({ blind: false });
    expect(given.givenUpAt).not.toBeNull();
    expect(await reads(finn, `/api/units/${unitId}/sets`)).toBe(200);
    expect(await finn.client.sealListening(id, { version: given.version })).toMatchObject({ blind: false });
    const history = await ida.client.loanHistory(loanId);
    expect(history.find(({ action }) => action === 'listening-given-up')).toMatchObject({ by: 'Finn Lough' });
  });

  it('knows who had opened the data before they began', async () => {
    const gil = await join(ida, 'editor', 'Gil Strath');
    await gil.client.sets(unitId);
    expect(await gil.client.keepListening(randomUUID(), written())).toMatchObject({ blind: false });
    const [set] = await ida.client.sets(unitId);
    const hal = await join(ida, 'editor', 'Hal Burn');
    expect(await reads(hal, `/api/files/${set?.files[0]?.id ?? ''}`)).toBe(200);
    expect(await hal.client.keepListening(randomUUID(), written())).toMatchObject({ blind: false });
  });

  it('pairs remarks with findings, keeps what people decide, and tells the second writer', async () => {
    const [first] = (await ida.client.evidence(unitId)).pairs;
    if (!first) throw new Error('Nothing was paired: the bass that ends early should be.');
    const finding = (await ida.client.evidence(unitId)).findings.find(({ key }) => key === first.findingKey);
    const ask = {
      remarkId: first.remarkId,
      findingKind: finding?.kind ?? '',
      findingHz: finding?.centreHz ?? 0,
      decision: 'refused',
      note: 'It was the room.',
      version: 0,
    } as const;
    const refused = await ida.client.decidePair(unitId, ask);
    const pairOf = (view: typeof refused) =>
      view.pairs.find(
        ({ remarkId, findingKey }) => remarkId === ask.remarkId && findingKey === first.findingKey,
      );
    expect(pairOf(refused)).toMatchObject({
      decision: 'refused',
      note: 'It was the room.',
      by: 'Ida Rask',
      version: 1,
    });
    expect(refused.heardOnly.map(({ remarkId }) => remarkId)).toContain(ask.remarkId);
    expect((await refusalOf(bo.client.decidePair(unitId, { ...ask, decision: 'confirmed' }))).status).toBe(
      409,
    );
    // The next computation may place the finding a little elsewhere: what was decided still holds.
    const moved = await bo.client.decidePair(unitId, {
      ...ask,
      findingHz: ask.findingHz * 1.01,
      decision: 'confirmed',
      version: 1,
    });
    expect(pairOf(moved)).toMatchObject({ decision: 'confirmed', by: 'Bo Lind', version: 2 });
    expect(pairOf(moved)?.history.map(({ by }) => by)).toEqual(['Ida Rask', 'Bo Lind']);
    const back = await ida.client.decidePair(unitId, { ...ask, decision: 'withdrawn', version: 2 });
    expect(pairOf(back)).toMatchObject({ decision: 'computed', version: 3 });
    expect((await refusalOf(ida.client.decidePair(unitId, { ...ask, remarkId: 'none' }))).status).toBe(404);
  });

  it('shows readers the listening behind a review once it is out, and says nothing of it before', async () => {
    const reader = visit(ida.url);
    expect(await reads(reader, `/api/published/${loanId}/listening`)).toBe(404);
    await database.prisma.loan.update({ where: { id: loanId }, data: { publishedAt: new Date() } });
    const records = await reader.client.publishedSeals(loanId);
    expect(records.map(({ by }) => by)).toContain('Cai Moor');
    expect(records.every(({ sealedAt }) => sealedAt !== '')).toBe(true);
    await database.prisma.loan.update({ where: { id: loanId }, data: { publishedAt: null } });
  });

  async function sealedSession(visitor: Visitor): Promise<ListeningView> {
    const id = randomUUID();
    const { version } = await visitor.client.keepListening(id, written());
    return visitor.client.sealListening(id, { version });
  }
});
