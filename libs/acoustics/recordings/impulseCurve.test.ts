import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { centreZeroPhase } from './centreZeroPhase.js';
import { findReflection } from './findReflection.js';
import { impulseCurve } from './impulseCurve.js';
import { impulseGridHz } from './impulseGridHz.js';
import { type ImpulseWindow, impulseWindow } from './impulseWindow.js';
import type { LocatedImpulse } from './locatedImpulse.js';
import { locateImpulse } from './locateImpulse.js';
import { noiseSource, playThrough } from './testing/playThrough.js';

interface Fixture {
  readonly sampleRateHz: number;
  readonly length: number;
  readonly arrivalIndex: number;
  readonly biquads: readonly (readonly [number, number, number, number, number])[];
  readonly gridHz: readonly number[];
  readonly levelDb: readonly number[];
  readonly gatedHz: readonly number[];
  readonly gatedDb: readonly number[];
}

/** Made by scipy: test/fixtures/scipy/impulse_responses.py. */
const fixture = JSON.parse(
  readFileSync(new URL('../../../test/fixtures/scipy/impulse_responses.json', import.meta.url), 'utf8'),
) as Fixture;
const RATE = fixture.sampleRateHz;
const flat = (): number => 0;

/** The fixture's filter as an impulse response of `length` samples, arriving at `arrival`. */
function filterResponse(length = fixture.length, arrival = fixture.arrivalIndex): Float32Array {
  const chain = { sampleRateHz: RATE, biquads: fixture.biquads };
  return playThrough((t) => (Math.round(t * RATE) === arrival ? 1 : 0), length / RATE, chain);
}

function located(samples: Float32Array, fullScaleDb?: number): LocatedImpulse {
  const source = { file: 'h+000.wav', sha256: '' };
  const found = locateImpulse({
    orbit: 'horizontal',
    angleDeg: 0,
    sampleRateHz: RATE,
    samples,
    fullScaleDb,
    source,
  });
  if (!found) throw new Error('nothing found');
  return found;
}

function windowFor(impulse: LocatedImpulse, gateSeconds?: number): ImpulseWindow {
  return impulseWindow([impulse.extent], [findReflection(impulse.samples, impulse.extent)], gateSeconds);
}

function worstDb(impulse: LocatedImpulse, window: ImpulseWindow, fromHz = 0, toHz = 1e9): number {
  const found = impulseCurve(impulse, window, impulseGridHz(impulse, window), flat);
  if (!found) throw new Error('no levels');
  const errors = [...found.levelDb].map((db, i) => {
    const hz = found.frequencyHz[i];
    const at = fixture.gridHz.findIndex((grid) => Math.abs(grid / hz - 1) < 1e-6);
    return hz < fromHz || hz > toHz ? 0 : Math.abs(db - fixture.levelDb[at]);
  });
  return Math.max(...errors);
}

const withEcho = (samples: Float32Array, delay: number, gain: number): Float32Array =>
  samples.map((value, i) => value + (i < delay ? 0 : gain * samples[i - delay]));

describe('impulse responses to levels', () => {
  it('agrees with scipy.signal.sosfreqz within 0.04 dB over the whole of an anechoic file', () => {
    const impulse = located(filterResponse());
    const window = windowFor(impulse);
    expect(window.endedBy).toBe('decay');
    expect(window.lowLimitHz).toBeLessThan(10);
    expect(impulseCurve(impulse, window, impulseGridHz(impulse, window), flat)?.frequencyHz).toHaveLength(
      fixture.gridHz.length,
    );
    expect(worstDb(impulse, window)).toBeLessThan(0.04);
    expect(worstDb(impulse, window, 40)).toBeLessThan(0.03);
  });

  it("agrees with numpy's transform of the same window within 0.001 dB", () => {
    const impulse = located(filterResponse());
    const window: ImpulseWindow = {
      beforeSeconds: 96 / RATE,
      afterSeconds: 288 / RATE,
      fadeInSeconds: 48 / RATE,
      fadeOutSeconds: 72 / RATE,
      endedBy: 'stated-gate',
      lowLimitHz: 200,
    };
    const arriving = { ...impulse, extent: { ...impulse.extent, arrivalIndex: fixture.arrivalIndex } };
    const found = impulseCurve(arriving, window, impulseGridHz(arriving, window), flat);
    fixture.gatedHz.forEach((hz, i) => {
      const at = found?.frequencyHz.findIndex((grid) => Math.abs(grid / hz - 1) < 1e-6) ?? -1;
      expect(Math.abs((found?.levelDb[at] ?? 0) - fixture.gatedDb[i])).toBeLessThan(0.001);
    });
  });

  it('gives full-scale level at every frequency for a single sample of 1, wherever it stands', () => {
    for (const index of [0, 1, 777, 32_768]) {
      const samples = new Float32Array(65_536);
      samples[index] = 1;
      const impulse = located(samples, 94);
      const window = windowFor(impulse);
      const levels = impulseCurve(impulse, window, impulseGridHz(impulse, window), flat);
      levels?.levelDb.forEach((db) => expect(db).toBeCloseTo(94, 4));
      expect(levels?.frequencyHz[0]).toBe(20);
    }
  });

  it('ends the window before an echo, says from where on it can tell, and is right above', () => {
    const clean = filterResponse(16_384);
    const impulse = located(withEcho(clean, Math.round(0.0065 * RATE), 0.5));
    const window = windowFor(impulse);
    expect(window.endedBy).toBe('reflection');
    expect(window.afterSeconds).toBeGreaterThan(0.0055);
    expect(window.afterSeconds).toBeLessThan(0.0066);
    expect(window.lowLimitHz).toBeGreaterThan(1 / 0.0065);
    expect(
      impulseCurve(impulse, window, impulseGridHz(impulse, window), flat)?.frequencyHz[0],
    ).toBeGreaterThan(0.98 * window.lowLimitHz);
    expect(worstDb(impulse, window, 500)).toBeLessThan(0.6);
    expect(worstDb(impulse, impulseWindow([impulse.extent], [undefined]), 500)).toBeGreaterThan(3);
  });

  it('takes no decay for an echo: resonances that beat, bass that rings, noise', () => {
    const noise = noiseSource(3);
    const ringing = filterResponse().map((value) => value + 1e-4 * noise());
    expect(findReflection(ringing, located(ringing).extent)).toBeUndefined();
    const beating = new Float32Array(16_384);
    beating.forEach((_, n) => {
      const t = n / RATE;
      const tone = Math.sin(2 * Math.PI * 3000 * t) + Math.sin(2 * Math.PI * 3500 * t);
      beating[n] = 0.02 * tone * Math.exp(-t / 0.003);
    });
    beating[0] += 1;
    expect(findReflection(beating, located(beating).extent)).toBeUndefined();
  });

  it('obeys a stated gate', () => {
    const impulse = located(filterResponse());
    const window = windowFor(impulse, 0.004);
    expect(window).toMatchObject({ endedBy: 'stated-gate', afterSeconds: 0.004 });
    expect(window.lowLimitHz).toBeCloseTo(1 / (0.004 - 0.0005), 6);
  });

  it('keeps noise out once the response has died away', () => {
    const noise = noiseSource(9);
    const impulse = located(filterResponse().map((value) => value + 3e-5 * noise()));
    const window = windowFor(impulse);
    expect(window.afterSeconds).toBeLessThan(0.4);
    expect(worstDb(impulse, window, 40, 20_000)).toBeLessThan(0.2);
  });

  it('reads responses without a cause: even about the middle, and even about the first sample', () => {
    const even = new Float32Array(8192);
    for (let n = -2000; n <= 2000; n++) {
      const x = n === 0 ? 1 : Math.sin(Math.PI * 0.5 * n) / (Math.PI * 0.5 * n);
      even[(n + 8192) % 8192] = 0.5 * x * (0.5 + 0.5 * Math.cos((Math.PI * n) / 2000));
    }
    const centred = Float32Array.from(even, (_, n) => even[(n + 4096) % 8192]);
    expect(centreZeroPhase(even)).toEqual(centred);
    expect(centreZeroPhase(centred)).toBe(centred);
    for (const samples of [even, centred]) {
      const impulse = located(samples);
      const window = windowFor(impulse);
      const levels = impulseCurve(impulse, window, impulseGridHz(impulse, window), flat);
      // An ideal low-pass at a quarter of the rate.
      const errors = levels?.levelDb.map((db, i) => (levels.frequencyHz[i] < 11_500 ? Math.abs(db) : 0)) ?? [
        9,
      ];
      const above = levels?.levelDb.filter((_, i) => levels.frequencyHz[i] > 12_500) ?? [0];
      expect(Math.max(...errors)).toBeLessThan(0.05);
      expect(Math.max(...above)).toBeLessThan(-50);
    }
  });

  it('finds nothing in silence or in what is not a number', () => {
    const impulse = {
      orbit: 'vertical',
      angleDeg: 0,
      sampleRateHz: RATE,
      source: { file: 'a', sha256: '' },
    } as const;
    expect(locateImpulse({ ...impulse, samples: new Float32Array(1000) })).toBeUndefined();
    expect(locateImpulse({ ...impulse, samples: new Float32Array(1000).fill(Number.NaN) })).toBeUndefined();
    expect(locateImpulse({ ...impulse, samples: new Float32Array(10).fill(1) })).toBeUndefined();
  });
});
