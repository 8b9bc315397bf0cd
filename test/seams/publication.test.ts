/** Publishing: the embargo kept at the very moment, bundles that can be checked, and what the public may see. */
import { spawnSync } from 'node:child_process';
import { createHash } from 'node:crypto';
import { mkdtemp, readdir, readFile, rm, symlink } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import type { ReviewView } from '../../libs/contracts/index.js';
import type { Database } from '../../libs/store/database.js';
import { databaseOf } from './databaseOf.js';
import {
  dataBackEnds,
  makeInstallation,
  type Installation,
  type RunningInstallation,
} from './installation.js';
import {
  bundleOf,
  preview,
  publish,
  reviewedLoan,
  settled,
  signOff,
  unpack,
  writeVerdict,
  type ReviewedLoan,
} from './publishedReview.js';
import { follow, join, refusalOf, setUpOwner, visit, waitFor, type Visitor } from './visitor.js';

const hasNcdump = spawnSync('ncdump', []).error === undefined;
if (!hasNcdump) {
  if (process.env['CI'])
    throw new Error('ncdump (netcdf-bin) is not installed: under CI its check must run.');
  console.warn('\n*** SKIPPED: reading SOFA back with netCDF, since ncdump is not installed. ***\n');
}
const inSeconds = (seconds: number): string => new Date(Date.now() + 1000 * seconds).toISOString();
const FAR = '2031-05-01T10:00:00Z';
const WHY = 'The maker moved the launch forward and confirmed it by mail.';

describe.each(dataBackEnds)('publication on %s', (backEnd) => {
  let installation: Installation;
  let server: RunningInstallation;
  let folder: string;
  let host: Visitor;
  let colleague: Visitor;
  let stranger: Visitor;
  let database: Database;

  beforeAll(async () => {
    installation = await makeInstallation(backEnd);
    folder = await mkdtemp(path.join(tmpdir(), 'sojourn-publish-'));
    server = await installation.start({ SOJOURN_PUBLISH_FOLDER: folder });
    host = await setUpOwner(server.url);
    colleague = await join(host, 'cohost', 'Bo Lind');
    stranger = visit(server.url);
    database = await databaseOf(installation);
  });
  afterAll(async () => {
    await database.close();
    await installation.remove();
    await rm(folder, { recursive: true, force: true });
  });

  describe('before and at the embargo', () => {
    let loan: ReviewedLoan;
    beforeAll(async () => {
      loan = await reviewedLoan(host, colleague, 'sedge-3', { embargoUntil: FAR, unit: 'Heron Quiet' });
    });

    it('refuses, names the embargo, and lets only the owner override with a reason that is recorded', async () => {
      const { loanVersion: version } = await host.client.publication(loan.loanId);
      const ask = { version, title: 'Heron Quiet' };
      const plain = await refusalOf(host.client.publish(loan.loanId, ask));
      expect(plain.status).toBe(422);
      expect(plain.refusal.conditions?.map(({ code }) => code)).toEqual(['embargo-over']);
      const lesser = await refusalOf(
        colleague.client.publish(loan.loanId, { ...ask, overrideReason: 'I would like to see it out.' }),
      );
      expect(lesser.status).toBe(403);
      expect(await stranger.client.reviews()).toEqual([]);
      expect((await stranger.fetch(`/api/reviews/${loan.loanId}`)).status).toBe(404);
    });

    it('tells the second of two who ask at once', async () => {
      const refused = await refusalOf(host.client.publish(loan.loanId, { version: 1, title: 'Heron Quiet' }));
      expect(refused.status).toBe(409);
    });

    it('tests the embargo again when the job runs: one moved since the override is not overridden', async () => {
      const { prisma } = database;
      const { loanVersion: version } = await host.client.publication(loan.loanId);
      await host.client.publish(loan.loanId, { version, title: 'Heron Quiet', overrideReason: WHY });
      // The maker moves the embargo while the bundle is built.
      await prisma.loan.update({
        where: { id: loan.loanId },
        data: { embargoUntil: new Date('2031-09-01T00:00:00Z') },
      });
      const held = await settled(host, loan.loanId);
      expect(held.state).toBe('refused');
      expect(held.reason).toContain('embargo');
      expect(await stranger.client.reviews()).toEqual([]);
      expect((await host.client.loan(loan.loanId)).stage).toBe('drafting');
    });

    it('does not publish a verdict that was edited after its sign-off', async () => {
      await writeVerdict(host, loan.loanId, 'Edited after all.');
      const { loanVersion: version } = await host.client.publication(loan.loanId);
      const refused = await refusalOf(host.client.publish(loan.loanId, { version, title: 'Heron Quiet' }));
      expect(refused.refusal.conditions?.map(({ code }) => code)).toEqual(['signed-off', 'embargo-over']);
      await signOff(colleague, loan.loanId);
    });

    it('waits for the end of an embargo and goes out by itself, live to viewers too', async () => {
      const viewer = await join(host, 'viewer', 'Vi Reader');
      const watching = await follow(viewer, 'published');
      const { version } = await host.client.loan(loan.loanId);
      await host.client.changeLoan(loan.loanId, { version, embargoUntil: inSeconds(4) });
      const waiting = await publish(colleague, loan.loanId, { when: 'at-embargo-end', title: 'Heron Quiet' });
      expect(waiting.state).toBe('scheduled');
      expect(await stranger.client.reviews()).toEqual([]);
      const out = await waitFor(
        () => watching.events.find(({ type }) => type === 'review-published'),
        'the news of the review',
      );
      expect(out.payload).toMatchObject({ title: 'Heron Quiet', number: 1 });
      const { embargoUntil, publishedAt, stage } = await host.client.loan(loan.loanId);
      expect(stage).toBe('published');
      expect(Date.parse(publishedAt ?? '')).toBeGreaterThanOrEqual(Date.parse(embargoUntil ?? ''));
      watching.socket.close();
    });
  });

  it('publishes against the embargo for the owner alone, and the history says why', async () => {
    const loan = await reviewedLoan(host, colleague, 'sedge-3', { embargoUntil: FAR, unit: 'Heron Early' });
    const out = await publish(host, loan.loanId, { overrideReason: WHY });
    expect(out.state).toBe('published');
    const history = await host.client.loanHistory(loan.loanId);
    const lines = history.filter(({ reason }) => reason?.includes(WHY));
    expect(lines.map(({ action }) => action).sort()).toEqual([
      'publication-asked-by-override',
      'review-published-by-override',
    ]);
  });

  describe('a bundle', () => {
    let loan: ReviewedLoan;
    beforeAll(async () => {
      loan = await reviewedLoan(host, colleague, 'sedge-5', { unit: 'Heron Clear' });
    });

    it('as a preview is the team’s alone, says that it is not published, and is the same bytes again', async () => {
      const first = await preview(host, loan.loanId);
      const again = await preview(colleague, loan.loanId);
      const [one, other] = await Promise.all(
        [first, again].map(async ({ bundleUrl }) => bundleOf(host, bundleUrl ?? '')),
      );
      expect(
        createHash('sha256')
          .update(one ?? '')
          .digest('hex'),
      ).toBe(
        createHash('sha256')
          .update(other ?? '')
          .digest('hex'),
      );
      const { folder: unpacked } = await unpack(one ?? new Uint8Array());
      const page = await readFile(path.join(unpacked, 'index.html'), 'utf8');
      expect(page.includes('This review is not published.')).toBe(true);
      expect((await stranger.fetch(first.bundleUrl ?? '')).status).toBe(401);
      expect((await stranger.fetch(`/api/reviews/${loan.loanId}`)).status).toBe(404);
    });

    it('lists every file with its true hash, and its SOFA data is read by netCDF', async () => {
      const out = await publish(colleague, loan.loanId, { title: 'Heron Clear' });
      expect(out.number).toBe(1);
      const review = await stranger.client.review(loan.loanId);
      const zip = await bundleOf(stranger, review.bundleUrl);
      const { folder: unpacked, hashes } = await unpack(zip);
      const manifest = JSON.parse(await readFile(path.join(unpacked, 'manifest.json'), 'utf8')) as {
        files: { path: string; sha256: string }[];
        licence: { name: string };
        units: { measured: { conditions: string[]; algorithmVersion: string }[] }[];
        version: number;
      };
      const listed = new Map(manifest.files.map((file) => [file.path, file.sha256]));
      const others = new Map([...hashes].filter(([file]) => file !== 'manifest.json'));
      expect(Object.fromEntries(others)).toEqual(Object.fromEntries(listed));
      expect(others.size).toBeGreaterThan(20);
      expect(manifest).toMatchObject({ version: 1, licence: { name: 'CC BY 4.0' } });
      expect(manifest.units[0]?.measured[0]?.conditions.length).toBeGreaterThan(1);
      const page = await readFile(path.join(unpacked, 'index.html'), 'utf8');
      expect(page.includes('<strong>Plain</strong>')).toBe(true);
      expect(page.includes('<script>alert')).toBe(false);
      expect(page.includes('Working title')).toBe(false);
      expect(page.includes('31 kg: lift with two people')).toBe(true);
      expect([...listed.keys()].filter((file) => /evidence-/.test(file))).toEqual([]);
      if (hasNcdump) readBySofa(path.join(unpacked, 'data/heron-clear/directivity.sofa'));
    });

    it('keeps the estimate of preference to itself unless the team shows it', async () => {
      const { numbers } = (await stranger.client.review(loan.loanId)).units[0] ?? { numbers: null };
      expect(numbers?.sensitivityDb).toBeTypeOf('number');
      expect(numbers?.predictedPreference).toBeNull();
    });

    it('stands unpacked in the folder, and only there', async () => {
      const place = await waitFor(async () => {
        const found = (await readdir(folder)).find((name) => name.startsWith('heron-clear-'));
        const now = (await host.client.publication(loan.loanId)).publications[0];
        return found !== undefined && now?.placedAt ? path.join(folder, found) : undefined;
      }, 'the bundle in its folder');
      expect((await readdir(place)).sort()).toEqual(['index.html', 'version-1', 'version-1.zip']);
      expect(await readdir(path.join(place, 'version-1'))).toContain('manifest.json');
      expect((await readdir(folder)).filter((name) => name.startsWith('.'))).toEqual([]);
    });

    it('does not follow a link out of the folder', async () => {
      const outside = await mkdtemp(path.join(tmpdir(), 'sojourn-outside-'));
      const place = (await readdir(folder)).find((name) => name.startsWith('heron-clear-')) ?? '';
      await rm(path.join(folder, place), { recursive: true });
      await symlink(outside, path.join(folder, place));
      await writeVerdict(host, loan.loanId, 'Plain and even, with a comma more.');
      await signOff(colleague, loan.loanId);
      const note = 'A comma was missing in the verdict.';
      await publish(host, loan.loanId, { title: 'Heron Clear', changeNote: note });
      const fault = await waitFor(
        async () => (await host.client.publication(loan.loanId)).publications[0]?.placeFault ?? undefined,
        'the fault to be said',
      );
      expect(fault).toContain('leads out of the folder');
      expect(await readdir(outside)).toEqual([]);
      await rm(outside, { recursive: true });
    });

    it('corrected is a new version with its note; the earlier one stays and is marked', async () => {
      const { loanVersion: version } = await host.client.publication(loan.loanId);
      const silent = await refusalOf(host.client.publish(loan.loanId, { version, title: 'Heron Clear' }));
      expect(silent.refusal.code).toBe('change-note');
      const now = await stranger.client.review(loan.loanId);
      const before = await stranger.client.review(loan.loanId, 1);
      expect(now).toMatchObject({ number: 2, changeNote: 'A comma was missing in the verdict.' });
      expect(before.number).toBe(1);
      expect(before.versions.map(({ number }) => number)).toEqual([2, 1]);
      expect(before.html).not.toContain('comma');
      expect((await stranger.client.reviews()).filter(({ loanId }) => loanId === loan.loanId)).toHaveLength(
        1,
      );
      expect((await bundleOf(stranger, before.bundleUrl)).length).toBeGreaterThan(10_000);
    });

    it('never shows what was computed or written afterwards', async () => {
      const shown = await stranger.client.review(loan.loanId);
      await writeVerdict(host, loan.loanId, 'A secret rewrite.');
      const set = (await host.client.sets(loan.unitId))[0];
      await host.client.requestAnalysis(set?.id ?? '', { settings: { rearWall: 'three' } });
      await waitFor(async () => {
        const analyses = (await host.client.sets(loan.unitId))[0]?.analyses ?? [];
        return analyses.length > 1 && analyses.every(({ state }) => state === 'done') ? true : undefined;
      }, 'the later analysis');
      await host.client.changeUnit(loan.unitId, {
        version: (await host.client.unit(loan.unitId)).version,
        name: 'Renamed',
      });
      const after = await stranger.client.review(loan.loanId);
      expect(comparable(after)).toEqual(comparable(shown));
      const [figure] = after.figures[0]?.figures ?? [];
      const answers = await Promise.all(
        [figure?.svgUrl, figure?.pngUrl, figure?.csvUrl, figure?.descriptionUrl].map((url) =>
          stranger.fetch(url ?? ''),
        ),
      );
      expect(answers.map(({ status }) => status)).toEqual([200, 200, 200, 200]);
      const tag = answers[0]?.headers.get('etag') ?? '';
      const known = await stranger.fetch(figure?.svgUrl ?? '', { headers: { 'if-none-match': tag } });
      expect([known.status, known.headers.get('cache-control')]).toEqual([304, 'public, max-age=86400']);
    });
  });

  // Reading asks the database alone, whichever queue there is.
  describe.runIf(backEnd === 'embedded')('for everybody', () => {
    it('searches and compares published units by their numbers, and none that are not out', async () => {
      const hidden = await reviewedLoan(host, colleague, 'sedge-3', { unit: 'Heron Hidden' });
      const page = await stranger.client.reviewUnits({ sort: 'f3Hz', order: 'rising' });
      const names = page.rows.map(({ name }) => name);
      expect(names).toContain('Heron Clear');
      expect(names).not.toContain('Heron Hidden');
      const bass = page.rows.map(({ numbers }) => numbers.f3Hz ?? 0);
      expect(bass).toEqual(bass.toSorted((a, b) => a - b));
      const deep = await stranger.client.reviewUnits({ f3HzMax: 60 });
      expect(deep.rows.map(({ name }) => name)).toEqual(['Heron Clear']);
      expect((await stranger.client.reviewUnits({ text: 'early' })).rows.map(({ name }) => name)).toEqual([
        'Heron Early',
      ]);
      const figure = await stranger.client.compareReviews({
        units: page.rows.slice(0, 2).map(({ id }) => id),
      });
      expect(figure.panels[0]?.series).toHaveLength(2);
      const svg = await stranger.fetch(
        `/api/reviews/comparison/figure.svg?units=${page.rows
          .slice(0, 2)
          .map(({ id }) => id)
          .join(',')}`,
      );
      expect(await svg.text()).toMatch(/^<svg/);
      const notOut = await refusalOf(
        stranger.client.compareReviews({ units: [page.rows[0]?.id ?? '', hidden.unitId] }),
      );
      expect(notOut.status).toBe(404);
      const everything = JSON.stringify([await stranger.client.reviews(), page]);
      expect(everything).not.toContain('Hidden');
      expect(everything).not.toContain('Working title');
    });

    it('takes answers without an account, so many and no more, whatever a forwarding header claims', async () => {
      const loanId =
        (await stranger.client.reviews()).find(({ title }) => title === 'Heron Clear')?.loanId ?? '';
      const answer = (claimed: string, words: string) =>
        stranger.fetch(`/api/reviews/${loanId}/feedback`, {
          method: 'POST',
          headers: { 'content-type': 'application/json', 'x-forwarded-for': claimed },
          body: JSON.stringify({ clarity: 4, length: 'too-long', missing: ['comparisons'], words }),
        });
      const statuses: number[] = [];
      for (let at = 0; at < 4; at++) statuses.push((await answer(`198.51.100.${at}`, `Words ${at}`)).status);
      expect(statuses).toEqual([201, 201, 429, 429]);
      expect((await stranger.client.review(loanId)).shownFeedback).toEqual([]);
      const { entries, summaries } = await colleague.client.feedback();
      expect(summaries.find((one) => one.loanId === loanId)).toMatchObject({
        answers: 2,
        waiting: 2,
        meanClarity: 4,
        missing: { comparisons: 2 },
        length: { 'too-long': 2 },
      });
      const [entry] = entries;
      await colleague.client.judgeFeedback(entry?.id ?? '', { version: entry?.version ?? 0, show: true });
      expect((await stranger.client.review(loanId)).shownFeedback.map(({ words }) => words)).toEqual([
        'Words 1',
      ]);
      const late = await refusalOf(
        host.client.judgeFeedback(entry?.id ?? '', { version: entry?.version ?? 0, show: false }),
      );
      expect(late.status).toBe(409);
      const { prisma } = database;
      const kept = await prisma.readerFeedback.findMany({ where: { loanId } });
      expect(kept.every(({ visitorHash }) => /^[0-9a-f]{64}$/.test(visitorHash))).toBe(true);
    });

    it('takes no answers where the team has closed them, and none that make no sense', async () => {
      const loanId = (await stranger.client.reviews())[0]?.loanId ?? '';
      const odd = await refusalOf(stranger.client.giveFeedback(loanId, { clarity: 9, length: 'right' }));
      expect(odd.status).toBe(422);
      const house = await host.client.publicationHouse();
      await host.client.changePublicationHouse({ version: house.version, feedbackOpen: false });
      const closed = await refusalOf(stranger.client.giveFeedback(loanId, { clarity: 3, length: 'right' }));
      expect(closed.refusal.code).toBe('feedback-closed');
    });
  });

  it.runIf(backEnd === 'embedded')(
    'sends a unit home whole: nothing unaccounted for, and delivery proven',
    async () => {
      const loanId = (await host.client.reviews()).find(({ title }) => title === 'Heron Clear')?.loanId ?? '';
      const grille = await host.client.addAccessory(loanId, { name: 'Grille', expectedCount: 2 });
      const wrong = await host.client.addAccessory(loanId, { name: 'Cable of another crate' });
      await host.client.removeAccessory(wrong.id, { version: wrong.version, why: 'Listed by mistake.' });
      const counted = await host.client.changeAccessory(grille.id, {
        version: grille.version,
        arrivedCount: 2,
      });
      const short = await host.client.changeAccessory(grille.id, {
        version: counted.version,
        returnedCount: 1,
      });
      const before = await host.client.loan(loanId);
      const refused = await refusalOf(
        host.client.moveLoan(loanId, { version: before.version, to: 'returning' }),
      );
      expect(refused.refusal.message).toContain('Unaccounted for: Grille');
      expect(refused.refusal.message).toContain('sealed listening session');
      const settledLoss = await host.client.changeAccessory(grille.id, {
        version: short.version,
        returnNote: 'One clip broke; it is paid for.',
        lossTold: true,
      });
      expect(settledLoss.lossToldAt).not.toBeNull();
      const codes = (await host.client.loan(loanId)).moves
        .find(({ to }) => to === 'returning')
        ?.conditions.filter(({ met }) => !met)
        .map(({ code }) => code);
      expect(codes).not.toContain('everything-packed');
      const history = await host.client.loanHistory(loanId);
      expect(history.find(({ action }) => action === 'accessory-removed')).toMatchObject({
        reason: 'Listed by mistake.',
      });

      const report = await host.client.addReport(loanId, {
        moment: 'arrival',
        condition: 'New.',
        serialSeen: 'W-2',
      });
      expect(report.serialDiffers).toBe(true);
      const { needs } = await host.client.dashboard();
      expect(needs.find((need) => need.loanId === loanId && need.id.endsWith('serial'))?.sentence).toContain(
        'W-2',
      );

      const moved = await host.client.moveLoan(loanId, {
        version: (await host.client.loan(loanId)).version,
        to: 'returning',
        overrideReason: 'Heard before, on another loan.',
      });
      const closing = await refusalOf(host.client.moveLoan(loanId, { version: moved.version, to: 'closed' }));
      expect(closing.refusal.conditions?.filter(({ met }) => !met).map(({ code }) => code)).toContain(
        'delivery-proven',
      );
      await host.client.changeLoan(loanId, {
        version: moved.version,
        deliveryNote: 'Signed slip seen at the depot.',
      });
      const last = (await host.client.loan(loanId)).moves.find(({ to }) => to === 'closed');
      expect(last?.conditions.find(({ code }) => code === 'delivery-proven')?.met).toBe(true);
    },
  );
});

/** What a reader is shown; answers readers gave are not part of it. */
const comparable = ({ shownFeedback: _shown, ...review }: ReviewView) => review;

/** AES69 says its data is netCDF-4: read by netCDF's own tool. */
function readBySofa(file: string): void {
  const { stdout, status } = spawnSync('ncdump', ['-v', 'ReceiverPosition', file], { encoding: 'utf8' });
  expect(status).toBe(0);
  expect(stdout).toContain(':SOFAConventions = "FreeFieldDirectivityTF"');
  expect(stdout).toContain(':License = "CC BY 4.0');
  const receivers = (stdout.split('ReceiverPosition =')[1] ?? '').match(/-?\d+(\.\d+)?/g) ?? [];
  // 70 directions of three coordinates: two orbits that share the axis and the rear.
  expect(receivers).toHaveLength(210);
}
