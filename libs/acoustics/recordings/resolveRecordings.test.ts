import { describe, expect, it } from 'vitest';
import { valueAtHz } from '../grid/valueAtHz.js';
import type { ImpulseResponse, MeasurementSet, Stimulus, StimulusRecording } from '../series.js';
import { emptySet } from '../testing/emptySet.js';
import { resolveRecordings } from './resolveRecordings.js';
import {
  biquadsDb,
  type Chain,
  exponentialSweep,
  highPass,
  noiseSource,
  peaking,
  playThrough,
} from './testing/playThrough.js';

const RATE = 48_000;
const loudspeaker = [highPass(50, 0.7, RATE), peaking(1200, 5, 3, RATE), peaking(5000, -4, 2, RATE)];
const SWEEP = {
  type: 'exponential-sweep',
  fromHz: 20,
  toHz: 20_000,
  seconds: 2,
  sampleRateHz: RATE,
} as const;
const source = (file: string, microphone?: string) => ({ file, sha256: file, microphone });

function sweepRecording(parts: Partial<StimulusRecording>, chain: Partial<Chain> = {}): StimulusRecording {
  const samples = playThrough(exponentialSweep(20, 20_000, 2), 2, {
    sampleRateHz: RATE,
    biquads: loudspeaker,
    silenceBefore: 0.2,
    silenceAfter: 0.4,
    gain: 0.1,
    ...chain,
  });
  return {
    role: 'directivity',
    stimulus: SWEEP,
    sampleRateHz: RATE,
    samples,
    source: source('sweep.wav'),
    ...parts,
  };
}

function impulse(parts: Partial<ImpulseResponse>, length = 32_768): ImpulseResponse {
  const click = (t: number): number => (Math.round(t * RATE) === 480 ? 0.1 : 0);
  const samples = playThrough(click, length / RATE, { sampleRateHz: RATE, biquads: loudspeaker });
  return {
    orbit: 'horizontal',
    angleDeg: 0,
    sampleRateHz: RATE,
    samples,
    source: source('h+000.wav'),
    ...parts,
  };
}

function codes(set: Partial<MeasurementSet>): string[] {
  return resolveRecordings(emptySet(set)).quality.map(({ code, severity }) => `${severity} ${code}`);
}

const exactDb = (hz: number): number => biquadsDb(loudspeaker, hz, RATE) - 20;

describe('resolveRecordings', () => {
  it('turns impulse responses into responses at their angles, in dB SPL, and states the window', () => {
    const impulses = [
      impulse({ fullScaleDb: 114 }),
      impulse({ fullScaleDb: 114, angleDeg: 10, source: source('h+010.wav') }),
    ];
    const { set, quality } = resolveRecordings(emptySet({ impulses }));
    expect(set.angles.map(({ orbit, angleDeg }) => [orbit, angleDeg])).toEqual([
      ['horizontal', 0],
      ['horizontal', 10],
    ]);
    const [{ frequencyHz, levelDb }] = set.angles;
    for (const hz of [30, 100, 1200, 5000, 18_000])
      expect(valueAtHz(frequencyHz, levelDb, hz)).toBeCloseTo(114 + exactDb(hz), 1);
    expect(frequencyHz[0]).toBe(20);
    expect(quality.map(({ code, severity }) => [severity, code])).toEqual([['note', 'impulse-window']]);
    expect(quality[0].message).toMatch(/ms before the direct sound to \d+ ms after it/);
    expect(set.impulses).toBe(impulses);
  });

  it('gives phase counted from the direct sound: the same for a later arrival, half a turn off for crossed leads', () => {
    const early = impulse({});
    const later = impulse({
      samples: Float32Array.from(early.samples, (_, i) => early.samples[i - 777] ?? 0),
    });
    const crossed = impulse({ samples: early.samples.map((sample) => -sample) });
    const { set } = resolveRecordings(emptySet({ impulses: [early, later, crossed] }));
    const [one, same, flipped] = set.angles.map(({ phaseDeg }) => phaseDeg ?? new Float64Array());
    const turn = (degrees: number): number => Math.abs(degrees - 360 * Math.round(degrees / 360));
    expect(one.every((degrees, i) => turn(degrees - same[i]) < 0.1)).toBe(true);
    expect(one.every((degrees, i) => turn(degrees + 180 - flipped[i]) < 0.1)).toBe(true);
    // A second-order high-pass turns by 90 degrees at its own frequency.
    expect(valueAtHz(set.angles[0].frequencyHz, one, 50)).toBeGreaterThan(80);
    expect(valueAtHz(set.angles[0].frequencyHz, one, 50)).toBeLessThan(100);
  });

  it('takes a directivity sweep for what its impulse response is', () => {
    const recordings = [sweepRecording({ orbit: 'vertical', angleDeg: -20, fullScaleDb: 114 })];
    const { set, quality } = resolveRecordings(emptySet({ recordings }));
    expect(set.angles).toHaveLength(1);
    const [{ orbit, angleDeg, frequencyHz, levelDb }] = set.angles;
    expect([orbit, angleDeg]).toEqual(['vertical', -20]);
    frequencyHz.forEach((hz, i) => {
      const tolerance = hz < 40 ? 0.4 : 0.1;
      expect(Math.abs(levelDb[i] - 114 - exactDb(hz)), `${hz} Hz`).toBeLessThan(tolerance);
    });
    expect(set.distortion).toEqual([]);
    expect(quality.map(({ code }) => code)).toEqual(['impulse-window']);
  });

  it('fills each role from its recording', () => {
    const tones = [400, 630, 1000, 1600, 2500];
    const multitone: Stimulus = { type: 'multitone', frequenciesHz: tones };
    const square = (x: number): number => x + 0.1 * x * x;
    const played = playThrough(
      (t) => tones.reduce((sum, hz) => sum + 0.1 * Math.sin(2 * Math.PI * hz * t + hz), 0),
      3,
      { sampleRateHz: RATE, device: square },
    );
    const common = { sampleRateHz: RATE, fullScaleDb: 110 };
    const recordings: StimulusRecording[] = [
      sweepRecording({ role: 'distortion', levelDb: 86 }, { device: (x) => x + 0.02 * x * x }),
      sweepRecording({ role: 'compression', levelDb: 76 }),
      sweepRecording({ role: 'compression', levelDb: 86 }, { gain: 0.1 * 10 ** (9 / 20) }),
      sweepRecording({ role: 'in-room', fullScaleDb: 114 }),
      { ...common, role: 'multitone', stimulus: multitone, samples: played, source: source('multi.wav') },
    ];
    const { set } = resolveRecordings(emptySet({ recordings }));
    expect(set.angles).toEqual([]);
    expect(set.distortion.map(({ levelDb }) => levelDb)).toEqual([86]);
    expect(valueAtHz(set.distortion[0].frequencyHz, set.distortion[0].harmonicsPercent[2], 300)).toBeCloseTo(
      1,
      1,
    );
    const [reference, louder] = set.compression;
    reference.frequencyHz.forEach((_, i) =>
      expect(louder.responseDb[i] - reference.responseDb[i]).toBeCloseTo(9, 2),
    );
    expect(valueAtHz(set.inRoom[0].frequencyHz, set.inRoom[0].levelDb, 1200)).toBeCloseTo(
      114 + exactDb(1200),
      1,
    );
    // Five sines of amplitude 0.1: 10 log10(5 x 0.01) dB re one of amplitude 1.
    expect(set.multitone[0].levelDb).toBeCloseTo(110 + 10 * Math.log10(0.05), 1);
    expect(set.multitone[0].totalPercent).toBeGreaterThan(1);
  });

  it('works out the level of a distortion sweep from the full scale where it is not stated', () => {
    const recordings = [sweepRecording({ role: 'distortion', fullScaleDb: 114 }, { biquads: [] })];
    expect(resolveRecordings(emptySet({ recordings })).set.distortion[0].levelDb).toBeCloseTo(94, 1);
  });

  it("takes the microphone's deviation off, by name when there are several", () => {
    const bump = {
      name: 'A',
      frequencyHz: Float64Array.of(20, 900, 1100, 20_000),
      deviationDb: Float64Array.of(0, 3, 3, 0),
    };
    const flat = {
      name: 'B',
      frequencyHz: Float64Array.of(20, 20_000),
      deviationDb: Float64Array.of(-1, -1),
    };
    const levelAt1k = (set: Partial<MeasurementSet>): number => {
      const [{ frequencyHz, levelDb }] = resolveRecordings(emptySet(set)).set.angles;
      return valueAtHz(frequencyHz, levelDb, 1000);
    };
    const plain = levelAt1k({ impulses: [impulse({})] });
    const named = (microphone: string) => [impulse({ source: source('h+000.wav', microphone) })];
    expect(levelAt1k({ impulses: [impulse({})], calibrations: [bump] })).toBeCloseTo(plain - 3, 9);
    expect(levelAt1k({ impulses: named('B'), calibrations: [bump, flat] })).toBeCloseTo(plain + 1, 9);
    expect(levelAt1k({ impulses: [impulse({})], calibrations: [bump, flat] })).toBeCloseTo(plain, 9);
    expect(codes({ impulses: [impulse({})], calibrations: [bump, flat] })).toContain(
      'check microphone-unassigned',
    );
    expect(codes({ impulses: named('C'), calibrations: [bump] })).toContain('check microphone-unassigned');
  });

  it('reports a window too short for the bass, and nothing below its limit', () => {
    const impulses = [impulse({ fullScaleDb: 100 }, 480 + 192)];
    const { set, quality } = resolveRecordings(emptySet({ impulses }));
    expect(quality.map(({ code, severity }) => [severity, code])).toEqual([
      ['note', 'impulse-window'],
      ['check', 'short-window'],
    ]);
    // 4 ms, of which the last tenth fades.
    expect(set.angles[0].frequencyHz[0]).toBeGreaterThan(255);
    expect(set.angles[0].frequencyHz[0]).toBeLessThan(275);
  });

  it('shows the response with and without the gate as evidence', () => {
    const clean = impulse({}).samples;
    const samples = Float32Array.from(clean, (value, i) => value + 0.4 * (clean[i - 300] ?? 0));
    const [note] = resolveRecordings(emptySet({ impulses: [impulse({ samples })] })).quality;
    expect(note.message).toContain('where the first reflection begins');
    expect(note.evidence?.curves.map(({ label }) => label)).toEqual(['through the window', 'whole file']);
    for (const { values } of note.evidence?.curves ?? [])
      expect(values).toHaveLength(note.evidence?.frequencyHz.length ?? -1);
  });

  it('finds recordings in which noise lifts the curve, and passes over quiet ones', () => {
    const noisyBy = (rms: number): ImpulseResponse[] => {
      const noise = noiseSource(4);
      return [
        impulse({ fullScaleDb: 100, samples: impulse({}).samples.map((sample) => sample + rms * noise()) }),
      ];
    };
    expect(codes({ impulses: noisyBy(1e-6) })).not.toContain('check noise-floor');
    expect(codes({ impulses: noisyBy(3e-3) })).toContain('check noise-floor');
    const finding = resolveRecordings(emptySet({ impulses: noisyBy(3e-3) })).quality.find(
      ({ code }) => code === 'noise-floor',
    );
    expect(finding?.evidence?.curves).toHaveLength(2);
  });

  it('says once for all files that levels are relative', () => {
    const impulses = Array.from({ length: 6 }, (_, i) =>
      impulse({ angleDeg: 10 * i, source: source(`h+0${i}0.wav`) }),
    );
    const { quality } = resolveRecordings(emptySet({ impulses }));
    const relative = quality.filter(({ code }) => code === 'levels-relative');
    expect(relative).toHaveLength(1);
    expect(relative[0].message).toMatch(/^h\+000\.wav, h\+010\.wav, h\+020\.wav and 3 more: /);
  });

  it.each([
    ['silence', { samples: new Float32Array(4 * RATE) }, 'blocking recording-silent'],
    ['no angle', { orbit: undefined }, 'check recording-without-angle'],
    ['cut short', { samples: new Float32Array(RATE / 4) }, 'blocking recording-too-short'],
    ['no level', { role: 'distortion' }, 'check recording-without-level'],
    ['a sweep for a multitone', { role: 'multitone' }, 'check stimulus-does-not-fit'],
    ['another sweep stated', { stimulus: { ...SWEEP, seconds: 2.4 } }, 'blocking sweep-not-found'],
    [
      'a multitone for directivity',
      { stimulus: { type: 'multitone', frequenciesHz: [100] } },
      'check stimulus-does-not-fit',
    ],
    [
      'tones that are not there',
      { role: 'multitone', stimulus: { type: 'multitone', frequenciesHz: [4000.3] } },
      'check tones-missing',
    ],
  ] as const)('reports and does not throw: %s', (_, parts, wanted) => {
    const recordings = [sweepRecording({ orbit: 'horizontal', angleDeg: 0, ...parts })];
    expect(codes({ recordings })).toContain(wanted);
  });

  it('reports silent and broken impulse responses, and reads the rest', () => {
    const broken = impulse({ samples: new Float32Array(4096).fill(Number.NaN), source: source('h+020.wav') });
    const impulses = [impulse({}), impulse({ samples: new Float32Array(4096) }), broken];
    const { set, quality } = resolveRecordings(emptySet({ impulses }));
    expect(set.angles).toHaveLength(1);
    expect(quality.map(({ code }) => code)).toContain('recording-silent');
  });

  it('reports clock drift and a sweep that was cut off', () => {
    const drifting = sweepRecording({ orbit: 'horizontal', angleDeg: 0 }, { clockRatio: 1.0006 });
    const { quality } = resolveRecordings(emptySet({ recordings: [drifting] }));
    const ppm = Number(
      /ran (-?\d+) ppm/.exec(quality.find(({ code }) => code === 'clock-drift')?.message ?? '')?.[1],
    );
    expect(Math.abs(ppm - 600)).toBeLessThan(30);
    const whole = sweepRecording({ orbit: 'horizontal', angleDeg: 0 });
    const cut = { ...whole, samples: whole.samples.subarray(0, 1.9 * RATE) };
    const { set, quality: said } = resolveRecordings(emptySet({ recordings: [cut] }));
    expect(said.map(({ code }) => code)).toContain('sweep-cut');
    expect(set.angles[0].frequencyHz.at(-1)).toBeLessThan(8000);
    expect(set.angles[0].frequencyHz.at(-1)).toBeGreaterThan(5000);
  });

  it('leaves a set without recordings as it is', () => {
    const set = emptySet();
    expect(resolveRecordings(set)).toEqual({ set, quality: [] });
  });
});
