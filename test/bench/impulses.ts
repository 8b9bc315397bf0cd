import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { Worker } from 'node:worker_threads';
import type { Curves } from '../../libs/acoustics/analysis.js';
import { computeCurves } from '../../libs/acoustics/curves/computeCurves.js';
import { defaultSettings } from '../../libs/acoustics/defaultSettings.js';
import { logGridHz } from '../../libs/acoustics/grid/logGridHz.js';
import { prepareDirectivity } from '../../libs/acoustics/orbits/prepareDirectivity.js';
import { findReflection } from '../../libs/acoustics/recordings/findReflection.js';
import { impulseGridHz } from '../../libs/acoustics/recordings/impulseGridHz.js';
import { impulseWindow } from '../../libs/acoustics/recordings/impulseWindow.js';
import { locateImpulse } from '../../libs/acoustics/recordings/locateImpulse.js';
import { resolveRecordings } from '../../libs/acoustics/recordings/resolveRecordings.js';
import type { AngleResponse, MeasurementSet } from '../../libs/acoustics/series.js';
import { agree } from './agree.js';
import {
  ANGLES,
  FULL_SCALE_DB,
  IMPULSE_SAMPLES,
  impulseSet,
  SAMPLE_RATE_HZ,
  writeImpulses,
} from './impulseSet.js';
import { pairedMedians } from './pairedMedians.js';
import type { BenchRow } from './row.js';
import { KEEP_PAGES, type PeerAnswer, type ScipyPeer, scipyPeer } from './scipyPeer.js';

const RUNS = 21;
const JOB = '72 impulse responses of 65,536 samples to all curves';

/**
 * The impulse job, alone and with one orbit on each of two threads, against scipy four rows at a time. Ours also looks
 * for reflections and noise in every response, which the peer leaves out.
 */
export async function benchImpulses(): Promise<readonly BenchRow[]> {
  const buffer = new SharedArrayBuffer(ANGLES.length * IMPULSE_SAMPLES * 4);
  writeImpulses(buffer);
  const set = impulseSet(buffer);
  const folder = mkdtempSync(join(tmpdir(), 'sojourn-bench-'));
  const worker = orbitWorker(buffer);
  const peers: ScipyPeer[] = [];
  try {
    const file = join(folder, 'impulses.f32');
    writeFileSync(file, new Uint8Array(new Float32Array(buffer).slice().buffer));
    const settings = peerSettings(set, file);
    for (const environment of [{}, KEEP_PAGES]) {
      const peer = await scipyPeer('scipy_peer.py', settings, environment);
      if (peer) peers.push(peer);
    }
    const [stock, keeping] = peers;
    if (!stock || !keeping) {
      console.error('No Python with scipy was found (SOJOURN_PYTHON names one): its rows are left out.');
      return [];
    }
    return await measured(set, { stock, keeping }, worker);
  } finally {
    for (const peer of peers) peer.stop();
    await worker.stop();
    rmSync(folder, { recursive: true, force: true });
  }
}

async function measured(
  set: MeasurementSet,
  peers: { readonly stock: ScipyPeer; readonly keeping: ScipyPeer },
  worker: OrbitWorker,
): Promise<readonly BenchRow[]> {
  let curves: Curves = {};
  let together: Curves = {};
  let answer: PeerAnswer = { milliseconds: 0, rssMb: 0, check: [] };
  const [alone, both, stock, keeping] = await pairedMedians(
    [
      () => {
        const start = performance.now();
        curves = curvesOf(set, resolveRecordings(set).set.angles);
        return performance.now() - start;
      },
      async () => {
        const start = performance.now();
        const vertical = worker.start();
        const horizontal = resolveRecordings({ ...set, impulses: set.impulses.slice(0, 36) }).set.angles;
        together = curvesOf(set, [...horizontal, ...(await vertical)]);
        return performance.now() - start;
      },
      async () => (answer = await peers.stock.ask('go')).milliseconds,
      async () => (await peers.keeping.ask('go')).milliseconds,
    ],
    RUNS,
  );
  agree(`${JOB}, one thread`, checkValues(curves), answer.check, 0.01);
  agree(`${JOB}, two threads`, checkValues(together), answer.check, 0.01);
  const scipy = `scipy ${peers.stock.version}, 4 rows at a time`;
  const memoryMb = process.memoryUsage().rss / 2 ** 20;
  return [
    row(`${JOB}, one thread, against ${scipy} (goal 0.75)`, alone, stock),
    row(`${JOB}, two threads, against ${scipy}, on one (goal 0.55)`, both, stock),
    row(`${JOB}, one thread, against ${scipy}, its allocator keeping pages (no goal)`, alone, keeping),
    {
      ...row('memory of the whole process in that job (goal under 300 MB)', memoryMb, answer.rssMb),
      unit: 'MB',
    },
  ];
}

function row(name: string, ours: number, peer: number): BenchRow {
  return { name, ours, peer, unit: 'ms', higherIsBetter: false, runs: RUNS };
}

function curvesOf(set: MeasurementSet, angles: readonly AngleResponse[]): Curves {
  const directivity = prepareDirectivity({ ...set, angles });
  if (!directivity) throw new Error('The invented set gave no directivity.');
  return computeCurves(directivity, defaultSettings);
}

/** Every fortieth value of the curves, in the peer's order. */
function checkValues(curves: Curves): number[] {
  const named = [
    curves.onAxis,
    curves.listeningWindow,
    curves.earlyReflections,
    curves.soundPower,
    curves.estimatedInRoom,
    curves.earlyReflectionsDirectivityIndex,
    curves.soundPowerDirectivityIndex,
  ];
  return named.flatMap((curve) => (curve ?? []).filter((_, i) => i % 40 === 0));
}

/** The window is ours to choose; the peer is told. */
function peerSettings(set: MeasurementSet, file: string): object {
  const located = set.impulses.flatMap((impulse) => locateImpulse(impulse) ?? []);
  const window = impulseWindow(
    located.map(({ extent }) => extent),
    located.map(({ samples, extent }) => findReflection(samples, extent)),
  );
  const gridHz = [...impulseGridHz(located[0], window)];
  const common = [...logGridHz(gridHz[0], gridHz[gridHz.length - 1])];
  const samples = (seconds: number): number => Math.round(seconds * SAMPLE_RATE_HZ);
  return {
    job: 'impulses',
    file,
    length: IMPULSE_SAMPLES,
    sampleRateHz: SAMPLE_RATE_HZ,
    fullScaleDb: FULL_SCALE_DB,
    rowsAtATime: 4,
    angles: ANGLES,
    gridHz,
    coarse: common.map((hz) => gridHz.findIndex((fine) => Math.abs(fine / hz - 1) < 1e-9)),
    beforeSamples: samples(window.beforeSeconds),
    windowSamples: samples(window.beforeSeconds) + samples(window.afterSeconds),
    fadeInSamples: samples(window.fadeInSeconds),
    fadeOutSamples: samples(window.fadeOutSeconds),
  };
}

interface OrbitWorker {
  readonly start: () => Promise<readonly AngleResponse[]>;
  readonly stop: () => Promise<unknown>;
}

/** A warm thread that reads the vertical orbit. */
function orbitWorker(buffer: SharedArrayBuffer): OrbitWorker {
  const worker = new Worker(new URL('impulseWorker.js', import.meta.url), { workerData: buffer });
  return {
    start: () =>
      new Promise((resolve, reject) => {
        worker.once('error', reject);
        worker.once('message', (angles: readonly AngleResponse[]) => {
          worker.off('error', reject);
          resolve(angles);
        });
        // A thread of this process, not a window: there is no origin to name.
        // oxlint-disable-next-line unicorn/require-post-message-target-origin
        worker.postMessage('go');
      }),
    stop: () => worker.terminate(),
  };
}
