import { describe, expect, it } from 'vitest';
import { multitoneDistortion } from './multitoneDistortion.js';
import { multitoneSpectrum } from './multitoneSpectrum.js';
import { steadyPart } from './steadyPart.js';
import { type Chain, playThrough } from './testing/playThrough.js';

const RATE = 48_000;
const flat = (): number => 0;

function tones(list: readonly (readonly [number, number])[]): (t: number) => number {
  return (t) =>
    list.reduce((sum, [hz, amplitude], i) => sum + amplitude * Math.sin(2 * Math.PI * hz * t + i * i), 0);
}

function measure(
  signal: (t: number) => number,
  hz: readonly number[],
  chain: Partial<Chain> = {},
  seconds = 6,
) {
  const samples = playThrough(signal, seconds, { sampleRateHz: RATE, ...chain });
  const { start, end } = steadyPart(samples, RATE);
  const found = multitoneDistortion(multitoneSpectrum(samples.subarray(start, end), RATE), hz, flat);
  if (!found) throw new Error('no tones');
  return found;
}

/**
 * Two sines a, b through y = x + c x^2 give, besides a DC term, 2a and 2b at c A^2 / 2 each and a - b, a + b at
 * c A B each (products of sines, exact); so for A = B the rest over the tones is c A sqrt(2.5 / 2) in power's root.
 */
const SQUARE = 0.02;
const AMPLITUDE = 0.4;
const square = (x: number): number => x + SQUARE * x * x;
const exactTotal = 100 * SQUARE * AMPLITUDE * Math.sqrt((2 * 0.25 + 2) / 2);

describe('multitoneDistortion', () => {
  it.each([
    ['plain', {}],
    ['with silence around it', { silenceBefore: 0.83, silenceAfter: 1.1 }],
    ['with 200 ppm of clock drift', { clockRatio: 1.0002, silenceBefore: 0.4 }],
    ['with -300 ppm of clock drift', { clockRatio: 0.9997 }],
    ['quiet', { gain: 0.001 }],
  ] as const)('finds the known intermodulation of a square law within 1 %%: %s', (_, chain) => {
    const found = measure(
      tones([
        [1000, AMPLITUDE],
        [1370, AMPLITUDE],
      ]),
      [1000, 1370],
      { device: square, ...chain },
    );
    expect(found.totalPercent / exactTotal).toBeCloseTo(1, 2);
    expect(found.missingHz).toEqual([]);
    const ppm = (found.clockRatio * ('clockRatio' in chain ? chain.clockRatio : 1) - 1) * 1e6;
    expect(Math.abs(ppm)).toBeLessThan(10);
  });

  it('puts each product into its third-octave band', () => {
    const found = measure(
      tones([
        [1000, AMPLITUDE],
        [1370, AMPLITUDE],
      ]),
      [1000, 1370],
      { device: square },
    );
    const percentAt = (hz: number): number =>
      found.distortionPercent[
        found.frequencyHz.findIndex((centre) => Math.abs(Math.log2(hz / centre)) < 1 / 6)
      ];
    // 370 Hz at c A^2, against the 1 kHz band's tone of amplitude A, as no lower band holds one. Above, against the
    // 1370 Hz tone: 2000 Hz at half that; 2370 Hz at c A^2 and 2740 Hz at half that share the 2.5 kHz band.
    const product = 100 * SQUARE * AMPLITUDE;
    expect(percentAt(370)).toBeCloseTo(product, 2);
    expect(percentAt(2000)).toBeCloseTo(product / 2, 2);
    expect(percentAt(2512)).toBeCloseTo(product * Math.sqrt(1.25), 2);
    expect(percentAt(100)).toBeLessThan(0.001);
  });

  it('finds white noise of a known level between thirty tones', () => {
    const hz = Array.from({ length: 30 }, (_, i) => 20 * 10 ** (i / 9.7));
    const noise = 1e-3;
    const found = measure(tones(hz.map((f) => [f, 0.03])), hz, { noise, silenceBefore: 0.5 }, 10);
    // White noise spreads over 24 kHz; the bands from 20 Hz to 20 kHz reach from 17.8 to 22,387 Hz (IEC 61260-1).
    const exact = 100 * Math.sqrt((noise ** 2 * (22_387 - 17.8)) / 24_000 / ((30 * 0.03 ** 2) / 2));
    expect(found.missingHz).toEqual([]);
    expect(found.totalPercent / exact).toBeGreaterThan(0.97);
    expect(found.totalPercent / exact).toBeLessThan(1.03);
  });

  it('invents next to nothing for a clean recording', () => {
    const hz = Array.from({ length: 24 }, (_, i) => 25 * 2 ** (i / 2.5));
    const found = measure(tones(hz.map((f) => [f, 0.03])), hz, {}, 8);
    expect(found.totalPercent).toBeLessThan(0.01);
    expect(found.tonePower).toBeCloseTo((24 * 0.03 ** 2) / 2, 6);
  });

  it('names a tone that is not there', () => {
    const found = measure(
      tones([
        [400, 0.2],
        [900, 0.2],
      ]),
      [400, 900, 2500],
      { noise: 1e-4 },
    );
    expect(found.missingHz).toEqual([2500]);
  });

  it('gives nothing for silence', () => {
    const spectrum = multitoneSpectrum(new Float32Array(4096), RATE);
    expect(multitoneDistortion(spectrum, [1000], flat)).toBeUndefined();
    expect(steadyPart(new Float32Array(RATE), RATE)).toEqual({ start: 0, end: 0 });
  });
});
