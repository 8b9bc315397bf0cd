import { describe, expect, it } from 'vitest';
import { defaultLimits } from '../limits.js';
import type { FileTask } from '../reading.js';
import { findClipping } from './findClipping.js';
import { readWavFile } from './readWavFile.js';
import { writeWav } from './writeWav.js';

const PCM16 = { format: { bits: 16, float: false } } as const;
const tone = (size: number, length = 4800) =>
  Float64Array.from({ length }, (_, at) => size * Math.sin((2 * Math.PI * 997 * at) / 48_000));
const wav = (...channels: Float64Array[]) => writeWav(channels, 48_000, PCM16);
const read = (bytes: Uint8Array, over: Partial<FileTask> = {}) =>
  readWavFile(
    {
      file: 'h330.wav',
      bytes,
      sha256: '00',
      kind: 'wav',
      content: 'directivity',
      orbit: 'horizontal',
      angleDeg: -30,
      distanceStated: false,
      ...over,
    },
    defaultLimits,
  );
const codes = (reading: ReturnType<typeof read>) =>
  (reading.problems ?? reading.quality ?? []).map(({ code }) => code);
const sweep = {
  type: 'exponential-sweep',
  fromHz: 20,
  toHz: 20_000,
  seconds: 5,
  sampleRateHz: 48_000,
} as const;

it('reads an impulse response with its direction and scale', () => {
  const [impulse] = read(wav(tone(0.5)), { fullScaleDb: 120 }).impulses!;
  expect(impulse).toMatchObject({
    orbit: 'horizontal',
    angleDeg: -30,
    sampleRateHz: 48_000,
    fullScaleDb: 120,
  });
  expect(impulse.samples[7]).toBeCloseTo(0.5 * Math.sin((2 * Math.PI * 997 * 7) / 48_000), 4);
});

it('reads a recording of a stated stimulus', () => {
  const reading = read(wav(tone(0.5)), {
    content: 'distortion',
    orbit: undefined,
    angleDeg: undefined,
    stimulus: sweep,
    levelDb: 86,
  });
  expect(reading.recordings![0]).toMatchObject({
    role: 'distortion',
    stimulus: sweep,
    levelDb: 86,
    sampleRateHz: 48_000,
  });
  expect(reading.impulses).toBeUndefined();
});

it('asks for what only the manifest can state', () => {
  const unstated = { orbit: undefined, angleDeg: undefined };
  expect(codes(read(wav(tone(0.5)), unstated))).toStrictEqual(['angle-missing']);
  expect(codes(read(wav(tone(0.5)), { ...unstated, content: 'distortion', levelDb: 86 }))).toStrictEqual([
    'stimulus-missing',
  ]);
  expect(codes(read(wav(tone(0.5)), { ...unstated, content: 'distortion', stimulus: sweep }))).toStrictEqual([
    'level-missing',
  ]);
  expect(codes(read(wav(tone(0.5)), { ...unstated, content: 'impedance' }))).toStrictEqual(['kind-not-read']);
  expect(codes(read(wav(tone(0.5)), { stimulus: { ...sweep, sampleRateHz: 44_100 } }))).toStrictEqual([
    'wav-header',
  ]);
});

describe('channels', () => {
  it('takes the only one with sound, or one of equals, and says which', () => {
    const silent = new Float64Array(4800);
    const reading = read(wav(silent, tone(0.5)));
    expect(codes(reading)).toStrictEqual(['channel-chosen']);
    expect(reading.quality![0].message).toContain('Channel 2 of 2');
    expect(reading.impulses![0].samples[7]).not.toBe(0);
    expect(codes(read(wav(tone(0.5), tone(0.5))))).toStrictEqual(['channel-chosen']);
  });

  it('does not guess between two, and takes the one that is named', () => {
    const both = wav(tone(0.5), tone(0.25));
    expect(codes(read(both))).toStrictEqual(['wav-channel']);
    expect(read(both, { channel: 2 }).impulses![0].samples[7]).toBeCloseTo(
      read(wav(tone(0.25))).impulses![0].samples[7],
      6,
    );
    expect(codes(read(both, { channel: 3 }))).toStrictEqual(['wav-channel']);
  });

  it('refuses silence and numbers that are none', () => {
    expect(codes(read(wav(new Float64Array(100))))).toStrictEqual(['wav-silent']);
    const broken = writeWav([Float64Array.of(0.1, NaN, 0.2)], 48_000, { format: { bits: 32, float: true } });
    expect(codes(read(broken))).toStrictEqual(['not-finite']);
  });
});

describe('clipping', () => {
  it('is blocking, and says where it begins', () => {
    const clipped = tone(1.5).map((value, at) => (at < 2400 ? value / 2 : value));
    const reading = read(wav(clipped));
    expect(reading.quality).toMatchObject([{ severity: 'blocking', code: 'clipped-recording' }]);
    expect(reading.quality![0].message).toContain('0.05');
  });

  it('is not seen in a tone that just reaches full scale, nor in an impulse of height 1', () => {
    expect(codes(read(wav(tone(32_767 / 32_768))))).toStrictEqual([]);
    expect(
      codes(read(wav(Float64Array.from({ length: 100 }, (_, at) => (at === 10 ? 1 : 0.01))))),
    ).toStrictEqual([]);
  });

  it('is found in floating point by values that repeat, also beyond full scale of another channel', () => {
    const float = { bits: 32, float: true } as const;
    const flat = Float32Array.from(tone(1.2), (value) => Math.max(-1, Math.min(1, value)));
    expect(findClipping(flat, 48_000, float)!.runs).toBeGreaterThan(100);
    expect(findClipping(Float32Array.from(tone(1.2)), 48_000, float)).toBeUndefined();
  });

  it('counts runs and samples', () => {
    const samples = Float64Array.of(0, 1, 1, 1, 0, 1, 1, 0, -1, -1, -1, -1, 1);
    expect(findClipping(samples, 10, { bits: 16, float: false })).toStrictEqual({
      samples: 7,
      runs: 2,
      firstSecond: 0.1,
    });
  });
});
