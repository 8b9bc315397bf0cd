/**
 * Everything that is deleted comes back: for every kind, gone from where it was, and after putting it back every row
 * of the database as it was before. What a published review rests on is not deleted at all.
 */
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { clearLeavingFiles, openHome, purgeBin, type Database } from '../../libs/store/index.js';
import { folderBlobStore } from '../../libs/blobs/blobStore.js';
import { binKinds, BIN_DAYS, PURGE_WORDS, type BinKind, type Binned } from '../../libs/contracts/index.js';
import { makeLeakScene, type LeakScene } from './leakScene.js';
import { describedRoutes } from './routeList.js';
import { join, refusalOf, waitFor, type Visitor } from './visitor.js';

const Day = 24 * 3600_000;
const dayIn = (days: number): string => new Date(Date.now() + days * Day).toISOString().slice(0, 10);

/** Routes that delete, and the kind that lies in the bin afterwards. */
const undoable: Readonly<Record<string, BinKind>> = {
  'DELETE /api/makers/{id}': 'maker',
  'DELETE /api/loans/{id}': 'loan',
  'DELETE /api/units/{id}': 'unit',
  'DELETE /api/sets/{id}': 'set',
  'DELETE /api/files/{id}': 'file',
  'PUT /api/sets/{id}/files': 'file',
  'PATCH /api/makers/{id}': 'contact',
  'POST /api/accessories/{id}/remove': 'accessory',
  'DELETE /api/reports/{id}': 'report',
  'DELETE /api/photographs/{id}': 'photograph',
  'DELETE /api/proofs/{id}': 'proof',
  'DELETE /api/listening/{id}': 'listening',
  'DELETE /api/loans/{id}/draft/comments/{comment}': 'comment',
  'PATCH /api/loans/{id}/steps/{step}': 'step',
  'DELETE /api/plan/absences/{id}': 'absence',
  'DELETE /api/plan/busy/{id}': 'busy-calendar',
  'DELETE /api/plan/templates/{kind}': 'template',
};

/** Routes that end something and are not taken back, each with the reason. */
const notUndone: Readonly<Record<string, string>> = {
  'DELETE /api/uploads': 'an upload that is not whole: nothing was accepted yet',
  'DELETE /api/session': 'signing out: one signs in again',
  'DELETE /api/sessions/{id}': 'signing out: one signs in again',
  'DELETE /api/people/{id}/sessions': 'signing out: one signs in again',
  'DELETE /api/tokens/{id}': 'a secret is revoked for safety: another is issued',
  'DELETE /api/invitations/{id}': 'a secret is revoked for safety: another is issued',
  'DELETE /api/calendar-feed': 'a secret is revoked for safety: another is issued',
  'DELETE /api/backups/files/{name}': 'a copy of what is still here, removed to free the disk; asked twice',
  'POST /api/bin/{id}/purge': 'the way out of the bin itself: the owner alone, by typed words',
  'POST /api/listening/{id}/give-up': 'what was seen cannot be unseen',
  'POST /api/plan/busy': 'reading a calendar again replaces the earlier reading of the same file',
  'POST /api/campaigns/{id}/cancel': 'what was recomputed stays; the rest is begun again',
  'POST /api/publications/{id}/cancel': 'asked for again',
  'PATCH /api/loans/{id}/previews/{preview}': 'a secret is revoked for safety: another is issued',
};

/** What goes on by itself, or tells what happened. */
const ASIDE = [
  '_prisma_migrations',
  'AppliedEffect',
  'AttemptLimit',
  'BinEntry',
  'DeadlineNotice',
  'Delivery',
  'FeedCounter',
  'FeedEvent',
  'HistoryEntry',
  'HistoryHead',
  'OutboxRequest',
  'ProcessSign',
  'Session',
];

describe('the bin', () => {
  let scene: LeakScene;
  let ida: Visitor;
  let database: Database;

  beforeAll(async () => {
    scene = await makeLeakScene();
    ({ ida, database } = scene);
    // What the clock marks as done by itself: each of these steps stays as it is from here on.
    const sessions = await scene.bo.client.loan(scene.loanId);
    const own = sessions.listening.find(({ id }) => id === scene.boSessionId);
    await expectRefused(ida.client.deleteUnit(scene.unitId, 1), 'not-deletable', 'is listening blind');
    await scene.bo.client.sealListening(scene.boSessionId, { version: own?.version ?? 0 });
  });
  afterAll(async () => {
    await database.close();
    await scene.installation.remove();
  });

  it('knows of every route that deletes: it can be undone, or a reason is written down', async () => {
    const routes = (await describedRoutes(scene.server.url)).map(({ method, path }) => `${method} ${path}`);
    const named = [...Object.keys(undoable), ...Object.keys(notUndone)];
    const unknown = routes.filter((route) => route.startsWith('DELETE ') && !named.includes(route));
    // What such a route deletes goes to the bin (putInBin), or its reason is named above.
    expect(unknown).toEqual([]);
    expect(named.filter((route) => !routes.includes(route))).toEqual([]);
    expect(new Set(Object.values(undoable))).toEqual(new Set(binKinds));
  });

  const ways: Readonly<Record<BinKind, () => Promise<() => Promise<Binned | undefined>>>> = {
    maker: async () => {
      const { id, version } = await ida.client.addMaker({
        name: 'Plover (invented)',
        contacts: [{ name: 'Ana Plover', email: 'ana@example.org' }],
      });
      return () => ida.client.deleteMaker(id, version);
    },
    contact: async () => {
      const contacts = ['Ben', 'Cy'].map((name) => ({ name }));
      const { id, version } = await ida.client.addMaker({ name: 'Dunlin (invented)', contacts });
      return async () => {
        await ida.client.changeMaker(id, { version, contacts: [{ name: 'Cy' }] });
        return newest(ida);
      };
    },
    // The rows of the maker count its changes.
    loan: async () => {
      const { version } = await ida.client.loan(scene.loanId);
      return () => ida.client.deleteLoan(scene.loanId, version);
    },
    unit: async () => {
      const { version } = await ida.client.unit(scene.unitId);
      return () => ida.client.deleteUnit(scene.unitId, version);
    },
    set: async () => {
      const [set] = await ida.client.sets(scene.unitId);
      return () => ida.client.deleteSet(set?.id ?? '', set?.version ?? 0);
    },
    file: async () => {
      const [set] = await ida.client.sets(scene.unitId);
      return () => ida.client.removeFile(set?.files[0]?.id ?? '');
    },
    accessory: async () => {
      const { id, version } = await ida.client.addAccessory(scene.loanId, { name: 'Spikes' });
      return () => ida.client.removeAccessory(id, { version, why: 'There never were any.' });
    },
    report: async () => {
      const [report] = (await ida.client.loan(scene.loanId)).reports;
      return () => ida.client.deleteReport(report?.id ?? '', report?.version ?? 0);
    },
    photograph: async () => {
      const [report] = (await ida.client.loan(scene.loanId)).reports;
      const photograph = report?.photographs[0];
      return () => ida.client.deletePhotograph(photograph?.id ?? '', photograph?.version ?? 0);
    },
    proof: async () => {
      const [proof] = (await ida.client.loan(scene.loanId)).deliveryProofs;
      return () => ida.client.removeProof(proof?.id ?? '');
    },
    listening: async () => {
      const session = await ida.client.addListening(scene.unitId, { heardOn: '2031-05-03', words: 'Again.' });
      return () => ida.client.deleteListening(session.id, session.version);
    },
    comment: async () => {
      const body = 'Is that so?';
      await ida.client.addDraftComment(scene.loanId, { body, mentions: [] });
      const all = (await ida.client.draftComments(scene.loanId)).comments;
      const mine = all.find((one) => one.body === body);
      await ida.client.addDraftComment(scene.loanId, { body: 'It is.', replyTo: mine?.id, mentions: [] });
      return () => ida.client.deleteDraftComment(scene.loanId, mine?.id ?? '', mine?.version ?? 0);
    },
    step: async () => {
      const steps = await ida.client.loanSteps(scene.loanId);
      const step = steps.find(
        ({ state, version }) => state !== 'done' && state !== 'skipped' && version === 0,
      );
      const stepId = step?.stepId ?? '';
      const marked = await ida.client.markStep(scene.loanId, stepId, { version: 0, state: 'skipped' });
      return async () => {
        await ida.client.markStep(scene.loanId, stepId, { version: marked.version, state: 'open' });
        return newest(ida);
      };
    },
    absence: async () => {
      const times = { from: '2031-02-03T08:00:00Z', to: '2031-02-03T10:00:00Z' };
      const { id } = await ida.client.addAbsence({ placeId: 'rig', ...times });
      return () => ida.client.removeAbsence(id);
    },
    'busy-calendar': async () => {
      const start = new Date(Date.now() + 9 * Day).toISOString().slice(0, 10).replaceAll('-', '');
      const event = `BEGIN:VEVENT\r\nUID:a\r\nDTSTAMP:${start}T000000Z\r\nDTSTART:${start}T080000Z\r\nDTEND:${start}T090000Z\r\nEND:VEVENT`;
      const calendar = `BEGIN:VCALENDAR\r\nVERSION:2.0\r\nPRODID:test\r\n${event}\r\nEND:VCALENDAR\r\n`;
      const { id } = await ida.client.importBusy({ placeId: 'rig', name: 'hall', calendar });
      return () => ida.client.removeBusy(id);
    },
    template: async () => {
      const template = (await ida.client.templates()).find(({ kind }) => kind === 'panel');
      const { steps = [], version = 0 } = template ?? {};
      await ida.client.changeTemplate('panel', {
        version,
        steps: steps.slice(0, 2).map((step) => ({ ...step, after: [] })),
      });
      return () => ida.client.resetTemplate('panel');
    },
  };

  it.each([...binKinds])('%s: deleted, gone, put back, every row as before', async (kind) => {
    const remove = await ways[kind]();
    // A contact goes by a change of its maker, which counts: its rows are compared without their version.
    const rows = () => everyRow(database, kind === 'contact' ? ['Maker'] : []);
    const before = await rows();
    const binned = await remove();
    expect(binned).toMatchObject({ kind });
    const after = await rows();
    expect([...before].filter((row) => !after.has(row)).length).toBeGreaterThan(0);
    const [entry] = (await ida.client.bin()).entries;
    expect(entry).toMatchObject({ binId: binned?.binId, kind, deletedBy: 'Ida Rask' });
    await ida.client.putBack(binned?.binId ?? '');
    const restored = await rows();
    expect({
      missing: [...before].filter((row) => !restored.has(row)),
      added: [...restored].filter((row) => !before.has(row)),
    }).toEqual({ missing: [], added: [] });
    expect((await ida.client.bin()).entries.map(({ binId }) => binId)).not.toContain(binned?.binId);
  });

  it('takes a deleted loan out of every list and answers nothing at its addresses', async () => {
    const { version } = await ida.client.loan(scene.loanId);
    const { binId } = await ida.client.deleteLoan(scene.loanId, version);
    const told = JSON.stringify([
      await ida.client.loans(),
      await ida.client.dashboard(),
      await ida.client.archive(),
      await ida.client.plan(),
      await ida.client.bookings(dayIn(0), dayIn(90)),
    ]);
    expect(told).not.toContain(scene.loanId);
    expect(told).not.toContain(scene.unitId);
    for (const path of [`loans/${scene.loanId}`, `units/${scene.unitId}`, `sets/${scene.setId}`])
      expect((await ida.fetch(`/api/${path}`)).status).toBe(404);
    await ida.client.putBack(binId);
    expect((await ida.client.loan(scene.loanId)).units.map(({ id }) => id)).toContain(scene.unitId);
  });

  it('puts back once when two ask at once, and says who did', async () => {
    const remove = await ways.maker();
    const { binId } = (await remove()) as Binned;
    const answers = await Promise.allSettled([
      ida.client.putBack(binId),
      scene.bo.client.putBack(binId),
      ida.client.putBack(binId),
    ]);
    expect(answers.filter(({ status }) => status === 'fulfilled')).toHaveLength(1);
    const late = await refusalOf(ida.client.putBack(binId));
    expect([late.status, late.message]).toEqual([404, expect.stringContaining('has put that back already')]);
  });

  it('is refused on an older version, and of two at once with a change one wins', async () => {
    const { client } = ida;
    const { id, version } = await client.addMaker({ name: 'Knot (invented)' });
    await client.changeMaker(id, { version, name: 'Red Knot (invented)' });
    const stale = await refusalOf(client.deleteMaker(id, version));
    expect([stale.status, stale.refusal.code]).toEqual([409, 'stale-version']);
    const [deleted, changed] = await Promise.allSettled([
      client.deleteMaker(id, version + 1),
      client.changeMaker(id, { version: version + 1, name: 'Great Knot (invented)' }),
    ]);
    const won = [deleted, changed].filter(({ status }) => status === 'fulfilled');
    expect(won).toHaveLength(1);
    if (deleted.status === 'fulfilled') await client.putBack(deleted.value.binId);
    const stands = deleted.status === 'fulfilled' ? 'Red Knot (invented)' : 'Great Knot (invented)';
    expect((await client.maker(id)).name).toBe(stands);
  });

  it('says what stands in the way of putting back', async () => {
    const [set] = await ida.client.sets(scene.unitId);
    const file = set?.files[0];
    const { binId } = await ida.client.removeFile(file?.id ?? '');
    await ida.put(scene.setId, file?.name ?? '', 'a,b\n1,2\n');
    await expectRefused(ida.client.putBack(binId), 'not-restorable', 'stands in the place');
    // The one that took its place goes to the bin as well.
    const taken = (await ida.client.set(scene.setId)).files.find(({ name }) => name === file?.name);
    await ida.client.removeFile(taken?.id ?? '');
    await ida.client.putBack(binId);
    const again = await ida.client.set(scene.setId);
    expect(again.files.find(({ id }) => id === file?.id)?.name).toBe(file?.name);
  });

  it('keeps a file that another of its name replaces', async () => {
    const unit = await ida.client.unit(scene.unitId);
    const set = await ida.client.addSet(unit.id, { name: 'twice' });
    await ida.put(set.id, 'x.csv', 'first');
    await ida.put(set.id, 'x.csv', 'first');
    await ida.put(set.id, 'x.csv', 'second');
    const earlier = (await ida.client.bin()).entries.filter(({ title }) => title === 'x.csv');
    expect(earlier).toHaveLength(1);
    await ida.client.deleteSet(set.id, set.version);
  });

  it('refuses what a published review rests on, and names the review', async () => {
    const { client } = ida;
    const unit = await client.unit(scene.outUnitId);
    const loan = await client.loan(unit.loanId);
    const [set] = await client.sets(scene.outUnitId);
    const asked = [
      () => client.deleteLoan(loan.id, loan.version),
      () => client.deleteUnit(unit.id, unit.version),
      () => client.deleteSet(set?.id ?? '', set?.version ?? 0),
      () => client.removeFile(set?.files[0]?.id ?? ''),
    ];
    for (const work of asked) await expectRefused(work(), 'needed-by-review', loan.title);
    const other = await client.addSet(unit.id, { name: 'never analysed' });
    expect(await client.deleteSet(other.id, other.version)).toMatchObject({ kind: 'set' });
  });

  it('shows an editor their own, the co-host everything, and nothing of a unit to who listens to it blind', async () => {
    const editor = await join(ida, 'editor', 'Eda');
    const mine = await editor.client.addMaker({ name: 'Sanderling (invented)' });
    const { binId } = await editor.client.deleteMaker(mine.id, mine.version);
    expect((await editor.client.bin()).entries.map((entry) => entry.binId)).toEqual([binId]);
    expect((await scene.bo.client.bin()).entries.length).toBeGreaterThan(1);
    const set = await ida.client.addSet(scene.unitId, { name: 'for nobody’s eyes' });
    const hidden = await ida.client.deleteSet(set.id, set.version);
    const seen = async (who: Visitor) =>
      (await who.client.bin()).entries.some((entry) => entry.binId === hidden.binId);
    const blind = await join(ida, 'cohost', 'Blind Bea');
    expect(await seen(blind)).toBe(true);
    const session = await blind.client.addListening(scene.unitId, { heardOn: '2031-05-04' });
    expect(await seen(blind)).toBe(false);
    expect((await refusalOf(blind.client.putBack(hidden.binId))).status).toBe(404);
    expect((await blind.fetch(`/api/sets/${scene.setId}?version=1`, { method: 'DELETE' })).status).toBe(403);
    await blind.client.sealListening(session.id, { version: session.version });
  });

  it('is for good after 30 days: rows and files are gone, but none that is needed', async () => {
    const blobs = folderBlobStore((await openHome(scene.installation.home)).path('blobs'));
    const remove = (sha256: string, before: Date) => blobs.remove(sha256, before);
    const { version } = await ida.client.loan(scene.loanId);
    const published = await filesOfUnit(database, scene.outUnitId);
    const own = (await filesOfUnit(database, scene.unitId)).filter((sha256) => !published.includes(sha256));
    expect(own.length).toBeGreaterThan(10);
    await ida.client.deleteLoan(scene.loanId, version);
    const kept = await ways.maker();
    const { binId } = (await kept()) as Binned;
    await ida.client.putBack(binId);

    await purgeBin(database, new Date(Date.now() + (BIN_DAYS - 1) * Day));
    await clearLeavingFiles(database, remove, new Date(Date.now() + (BIN_DAYS - 1) * Day));
    expect(await present(blobs, own)).toBe(own.length);

    const then = new Date(Date.now() + (BIN_DAYS + 1) * Day);
    expect(await purgeBin(database, then)).toBeGreaterThan(1);
    await clearLeavingFiles(database, remove, then);
    expect(await present(blobs, own)).toBe(0);
    expect(await present(blobs, published)).toBe(published.length);
    const rows = [...(await everyRow(database))];
    // The plan in force keeps what it rested on until the next one is accepted: ids and hashes, no words.
    const naming = rows.filter((row) => row.includes(scene.unitId) || row.includes(scene.setId));
    expect(naming.filter((row) => !row.startsWith('PlanState '))).toEqual([]);
    expect(await database.prisma.binEntry.count({ where: { restoredAt: null } })).toBe(0);
    const needed = await database.prisma.blob.findMany({ select: { sha256: true } });
    expect(
      await present(
        blobs,
        needed.map(({ sha256 }) => sha256),
      ),
    ).toBe(needed.length);
    const bundle = await database.prisma.publication.findFirstOrThrow({ where: { state: 'published' } });
    const { units } = (await ida.client.review(bundle.loanId)) as { units: unknown[] };
    expect(units.length).toBe(1);
  });

  it('is for good at once when the owner types so; a co-host may not', async () => {
    const remove = await ways.maker();
    const { binId } = (await remove()) as Binned;
    expect((await refusalOf(scene.bo.client.deleteForGood(binId, PURGE_WORDS))).status).toBe(403);
    await expectRefused(ida.client.deleteForGood(binId, 'yes'), 'invalid', PURGE_WORDS);
    await ida.client.deleteForGood(binId, PURGE_WORDS);
    expect((await refusalOf(ida.client.putBack(binId))).status).toBe(404);
    await waitFor(
      async () => ((await database.prisma.binEntry.count({ where: { id: binId } })) === 0 ? true : undefined),
      'the entry to be cleared',
    );
  });
});

async function newest(who: Visitor): Promise<Binned | undefined> {
  return (await who.client.bin()).entries[0];
}

async function expectRefused(work: Promise<unknown>, code: string, words: string): Promise<void> {
  const { refusal } = await refusalOf(work);
  expect(refusal.code).toBe(code);
  expect(refusal.message).toContain(words);
}

/** Every row of every table as text, but for those aside; the archive’s own clock is left out. */
async function everyRow({ pool }: Database, uncounted: readonly string[] = []): Promise<Set<string>> {
  const tables = await pool.query<{ name: string }>(
    `select table_name as name from information_schema.tables where table_schema = 'public' and table_type = 'BASE TABLE'`,
  );
  const all = new Set<string>();
  for (const { name } of tables.rows.filter((table) => !ASIDE.includes(table.name))) {
    const clock = name === 'ArchivedUnit' ? ` - 'updatedAt'` : uncounted.includes(name) ? ` - 'version'` : '';
    const own = name === 'StepRecord' ? ' where not "derived"' : '';
    const rows = await pool.query<{ row: string }>(
      `select (to_jsonb(t)${clock})::text as row from "${name}" t${own}`,
    );
    for (const { row } of rows.rows) all.add(`${name} ${row}`);
  }
  return all;
}

/** Files brought for a unit, and those made of them. */
async function filesOfUnit({ prisma }: Database, unitId: string): Promise<string[]> {
  const files = await prisma.setFile.findMany({ where: { set: { unitId } } });
  const computations = await prisma.computation.findMany({
    where: { analyses: { some: { set: { unitId } } } },
  });
  const made = JSON.stringify(computations.map(({ series, figures }) => [series, figures])).match(
    /[0-9a-f]{64}/g,
  );
  return [...new Set([...files.map(({ sha256 }) => sha256), ...(made ?? [])])];
}

async function present(
  blobs: { has(sha256: string): Promise<boolean> },
  hashes: readonly string[],
): Promise<number> {
  let there = 0;
  for (const sha256 of hashes) if (await blobs.has(sha256)) there += 1;
  return there;
}
