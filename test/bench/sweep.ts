import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { type FourierKernel, realFourier } from '../../libs/acoustics/fourier/realFourier.js';
import { deconvolveSweep } from '../../libs/acoustics/recordings/deconvolveSweep.js';
import { harmonicStretch } from '../../libs/acoustics/recordings/harmonicStretch.js';
import { observedSweep } from '../../libs/acoustics/recordings/observedSweep.js';
import { type SweepDistortion, sweepDistortion } from '../../libs/acoustics/recordings/sweepDistortion.js';
import { sweepGrid } from '../../libs/acoustics/recordings/sweepGrid.js';
import { sweepSamples } from '../../libs/acoustics/recordings/sweepSamples.js';
import { type SweepTransform, sweepTransform } from '../../libs/acoustics/recordings/sweepTransform.js';
import { agree } from './agree.js';
import { pairedMedians } from './pairedMedians.js';
import type { BenchRow } from './row.js';
import { KEEP_PAGES, scipyPeer } from './scipyPeer.js';

const RUNS = 25;
const SIZE = 2 ** 19;
const RATE_HZ = 48_000;
const STATED = {
  type: 'exponential-sweep',
  fromHz: 20,
  toHz: 20_000,
  seconds: 10,
  sampleRateHz: RATE_HZ,
} as const;
const BAND_HZ = [STATED.fromHz, STATED.toHz] as const;
const JOB = 'deconvolution of a 2^19-sample sweep into 5 orders';

/** Deconvolution against scipy as it comes, and against scipy with an allocator that keeps its pages. */
export async function benchSweep(): Promise<readonly BenchRow[]> {
  const transform = sweepTransform(observedSweep(STATED, RATE_HZ), SIZE);
  const recording = recorded(transform);
  const folder = mkdtempSync(join(tmpdir(), 'sojourn-bench-'));
  const settings = peerSettings(folder, transform, recording);
  const peers = [
    await scipyPeer('scipy_peer.py', settings),
    await scipyPeer('scipy_peer.py', settings, KEEP_PAGES),
  ].filter((peer) => peer !== undefined);
  try {
    const [stock, tuned] = peers;
    if (!stock || !tuned) {
      console.error('No Python with scipy was found (SOJOURN_PYTHON names one): its rows are left out.');
      return [];
    }
    let ours: SweepDistortion | undefined;
    let check: readonly number[] = [];
    const [own, plain, keeping] = await pairedMedians(
      [
        () => {
          const start = performance.now();
          ours = distortionOf(recording, transform);
          return performance.now() - start;
        },
        async () => (await stock.ask('go')).milliseconds,
        async () => {
          const answer = await tuned.ask('go');
          check = answer.check;
          return answer.milliseconds;
        },
      ],
      RUNS,
    );
    agree(JOB, checkValues(ours, transform), check, 0.02);
    const scipy = `scipy ${stock.version}`;
    return [
      row(`${JOB}, against ${scipy} (goal 0.45)`, own, plain),
      row(`${JOB}, against ${scipy} with an allocator that keeps its pages (goal 0.9)`, own, keeping),
    ];
  } finally {
    for (const peer of peers) peer.stop();
    rmSync(folder, { recursive: true, force: true });
  }
}

function row(name: string, ours: number, peer: number): BenchRow {
  return { name, ours, peer, unit: 'ms', higherIsBetter: false, runs: RUNS };
}

/** An invented device that bends a little, behind half a second of silence. */
function recorded({ sweep }: SweepTransform): Float32Array {
  const recording = new Float32Array(SIZE);
  sweepSamples(sweep).forEach(
    (x, n) => (recording[n + RATE_HZ / 2] = 0.3 * (x + 0.02 * x * x + 0.01 * x ** 3)),
  );
  return recording;
}

function distortionOf(recording: Float32Array, transform: SweepTransform): SweepDistortion | undefined {
  const deconvolved = deconvolveSweep(recording, transform.kernel);
  const reading = {
    deconvolved,
    transform,
    bandHz: BAND_HZ,
    isComplete: true,
    clockRatio: 1,
  };
  return sweepDistortion(reading, () => 0);
}

/** The peer gives raw levels, without the division by what a perfect device gives. */
function checkValues(found: SweepDistortion | undefined, transform: SweepTransform): number[] {
  if (!found) throw new Error('The invented recording gave no distortion.');
  const [linear, second] = sweepGrid(transform, BAND_HZ).orders.map(({ ideal }) => ideal);
  const every = (_: number, i: number): boolean => i % 40 === 0;
  const levels = [...found.fundamentalDb].map((db, i) => db + 10 * Math.log10(linear[i]));
  const percent = [...found.harmonicsPercent[2]].map(
    (value, i) => 20 * Math.log10(value) + 10 * Math.log10(second[i] / linear[i]),
  );
  return [...levels.filter(every), ...percent.filter(every)];
}

function peerSettings(folder: string, transform: SweepTransform, recording: Float32Array): object {
  const write = (name: string, values: Float32Array): string => {
    const path = join(folder, name);
    writeFileSync(path, new Uint8Array(values.buffer, values.byteOffset, values.byteLength));
    return path;
  };
  return {
    job: 'sweep',
    recording: write('recording.f32', recording),
    kernel: write('kernel.c64', spectrumOf(transform.kernel)),
    edges: write('edges.c64', spectrumOf(transform.edges())),
    sampleRateHz: RATE_HZ,
    partSamples: 2 ** 16,
    orders: sweepGrid(transform, BAND_HZ).orders.map(({ order, edgesHz }) => ({
      ...harmonicStretch(order, transform.sweep),
      edgesHz: [...edgesHz],
    })),
  };
}

/** A kernel as numpy's rfft would give it: size / 2 + 1 complex numbers. */
function spectrumOf(kernel: FourierKernel): Float32Array {
  const transform = realFourier(kernel.size);
  const click = (target: Float32Array): void => {
    target.fill(0);
    target[0] = 1;
  };
  const response = transform.filter(click, kernel, (samples) => samples.slice());
  const packed = transform.forward(
    (target) => target.set(response),
    (spectrum) => spectrum.slice(),
  );
  const spectrum = new Float32Array(kernel.size + 2);
  spectrum.set(packed);
  spectrum[1] = 0;
  spectrum[kernel.size] = packed[1];
  return spectrum;
}
