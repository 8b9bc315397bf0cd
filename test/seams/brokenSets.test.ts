/** Bad and hostile uploads: each is named with its remedy, nothing is half-kept, the server stays healthy. */
import { createReadStream } from 'node:fs';
import { mkdtemp, rm, stat } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { Readable } from 'node:stream';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import type { AnalysisView } from '../../libs/contracts/index.js';
import { measurementSet } from '../../seed/files/measurementSet.js';
import { recordingFaults, textFaults } from '../../seed/faults.js';
import { writeZipOfZeros } from './zipOfZeros.js';
import { makeInstallation, type Installation, type RunningInstallation } from './installation.js';
import { makeUnit, setUpOwner, waitFor, type Visitor } from './visitor.js';

type Files = readonly { readonly name: string; readonly bytes: Uint8Array }[];

describe('broken uploads', () => {
  let installation: Installation;
  let server: RunningInstallation;
  let host: Visitor;
  let unitId: string;

  beforeAll(async () => {
    installation = await makeInstallation('embedded');
    server = await installation.start();
    host = await setUpOwner(server.url);
    unitId = (await makeUnit(host)).unit.id;
  });
  afterAll(() => installation.remove());

  async function analysed(name: string, files: Files): Promise<AnalysisView> {
    const set = await host.client.addSet(unitId, { name });
    for (const file of files) expect((await host.put(set.id, file.name, file.bytes)).status).toBe(200);
    const { id } = await host.client.requestAnalysis(set.id);
    return waitFor(async () => {
      const now = await host.client.analysis(id);
      return ['done', 'refused', 'quarantined'].includes(now.state) ? now : undefined;
    }, `the analysis of ${name}`);
  }

  const healthy = async () => expect((await fetch(`${server.url}/health/ready`)).status).toBe(200);

  it('names a missing angle', async () => {
    const result = await analysed(
      'missing angle',
      textFaults.missingAngle(measurementSet('sedge-5', { seed: 1 })),
    );
    expect(result.state).toBe('done');
    const found = result.quality.find(({ code }) => code === 'missing-angle');
    expect(found?.message).toMatch(/40/);
  });

  it('names swapped orbits, with what to look at', async () => {
    const result = await analysed(
      'swapped',
      textFaults.swappedOrbits(measurementSet('sedge-5', { seed: 1 })),
    );
    const found = result.quality.find(({ code }) => code === 'swapped-orbits');
    // Drivers side by side look the same, so it is for people to decide: to be checked, not blocked.
    expect(found?.severity).toBe('check');
    expect(result.checks).toBeGreaterThan(0);
  });

  it('names a clipped recording', async () => {
    const result = await analysed(
      'clipped',
      recordingFaults.clippedRecording(measurementSet('lumen-6', { seed: 1 })),
    );
    const found = result.quality.find(({ code }) => /clip/.test(code));
    expect(found?.file).toMatch(/distortion/);
  });

  it('refuses text garbage with its file, line and remedy, and computes nothing from the rest', async () => {
    const result = await analysed('garbage', textFaults.textGarbage(measurementSet('sedge-5', { seed: 1 })));
    expect(result.state).toBe('refused');
    expect(result.problems[0]?.file).toMatch(/050/);
    expect(result.problems[0]?.line).toBeGreaterThan(1);
    expect(result.problems[0]?.remedy).not.toBe('');
    expect(result.resultUrl).toBeNull();
    expect(result.figures).toEqual([]);
  });

  it('refuses a ZIP that would expand to 2 GB, quickly and whole', async () => {
    const folder = await mkdtemp(path.join(tmpdir(), 'sojourn-bomb-'));
    try {
      const bomb = path.join(folder, 'bomb.zip');
      await writeZipOfZeros(bomb, 'h+000.csv', 2 * 1024 ** 3);
      expect((await stat(bomb)).size).toBeLessThan(4 * 1024 ** 2);
      const set = await host.client.addSet(unitId, { name: 'bomb' });
      const began = performance.now();
      const answer = await host.fetch(`/api/sets/${set.id}/files?name=bomb.zip`, {
        method: 'PUT',
        headers: { 'content-type': 'application/octet-stream' },
        body: Readable.toWeb(createReadStream(bomb)),
        duplex: 'half',
      });
      const kept = (await answer.json()) as {
        kept: unknown[];
        problems: { message: string; remedy: string }[];
      };
      expect(performance.now() - began).toBeLessThan(5000);
      expect(kept.kept).toEqual([]);
      expect(kept.problems[0]?.message).toMatch(/GB|expand|ratio|times/i);
      expect((await host.client.set(set.id)).files).toEqual([]);
      await healthy();
    } finally {
      await rm(folder, { recursive: true, force: true });
    }
  });

  it('keeps a file that is no measurement out of the results and names it', async () => {
    const result = await analysed('stray', [
      { name: 'h+000.csv', bytes: new Uint8Array([0, 1, 2, 255, 254, 0, 0]) },
    ]);
    expect(result.state).toBe('refused');
    expect(result.problems[0]?.file).toBe('h+000.csv');
  });

  it('takes names for what they are: no folder is climbed out of', async () => {
    const set = await host.client.addSet(unitId, { name: 'names' });
    const answer = await host.put(set.id, '../../../etc/passwd', 'frequency_hz,magnitude_db\n100,80\n');
    const { kept } = (await answer.json()) as { kept: { name: string }[] };
    expect(kept[0]?.name).toBe('etc/passwd');
    const nameless = await host.put(set.id, '..', 'x');
    expect(nameless.status).toBe(422);
  });

  it('is still healthy, and says no without internals', async () => {
    await healthy();
    const answer = await host.fetch('/api/loans', {
      method: 'POST',
      headers: { 'content-type': 'application/json' },
      body: '{broken',
    });
    expect(answer.status).toBe(400);
    const text = await answer.text();
    expect(text).not.toMatch(/node_modules|at \w+ \(/);
    expect(server.output()).not.toMatch(/fault:/);
  });
});
