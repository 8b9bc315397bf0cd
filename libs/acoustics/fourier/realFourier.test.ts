import { describe, expect, it } from 'vitest';
import { fastSize } from './fastSize.js';
import { realFourier } from './realFourier.js';

/** Numerical Recipes' 32-bit linear congruential generator, -1..1. */
function noise(length: number, start = 1): Float64Array {
  let state = start;
  return Float64Array.from({ length }, () => {
    state = (Math.imul(state, 1664525) + 1013904223) >>> 0;
    return state / 2 ** 31 - 1;
  });
}

/** The definition, in 64-bit floats, at one bin. */
function slowBin(x: Float64Array, k: number): [number, number] {
  let re = 0;
  let im = 0;
  for (let n = 0; n < x.length; n++) {
    const turn = (2 * Math.PI * ((k * n) % x.length)) / x.length;
    re += x[n] * Math.cos(turn);
    im -= x[n] * Math.sin(turn);
  }
  return [re, im];
}

const spectrumOf = (x: ArrayLike<number>) =>
  realFourier(x.length).forward(
    (samples) => samples.set(x),
    (spectrum) => spectrum.slice(),
  );

describe('realFourier', () => {
  it('agrees with the definition to 32-bit precision, at every factor of the size', () => {
    for (const size of [32, 96, 160, 480, 4096, 65536]) {
      const x = noise(size);
      const spectrum = spectrumOf(x);
      const rms = Math.sqrt(size / 3);
      for (const k of [1, 2, 7, size / 4, size / 2 - 1]) {
        const [re, im] = slowBin(x, k);
        expect(Math.abs(spectrum[2 * k] - re) / rms).toBeLessThan(2e-6);
        expect(Math.abs(spectrum[2 * k + 1] - im) / rms).toBeLessThan(2e-6);
      }
      expect(Math.abs(spectrum[0] - slowBin(x, 0)[0]) / rms).toBeLessThan(2e-6);
      expect(Math.abs(spectrum[1] - slowBin(x, size / 2)[0]) / rms).toBeLessThan(2e-6);
    }
  });

  it('keeps the energy (Parseval) and gives the samples back', () => {
    const x = noise(2 ** 17, 5);
    const spectrum = spectrumOf(x);
    let energy = spectrum[0] ** 2 + spectrum[1] ** 2;
    for (let i = 2; i < spectrum.length; i++) energy += 2 * spectrum[i] ** 2;
    const wanted = x.reduce((sum, value) => sum + value * value, 0);
    expect(energy / x.length / wanted).toBeCloseTo(1, 6);
    const back = realFourier(x.length).inverse(
      (target) => target.set(spectrum),
      (samples) => samples.slice(),
    );
    const worst = x.reduce((most, value, i) => Math.max(most, Math.abs(value - back[i])), 0);
    expect(worst).toBeLessThan(2e-6);
  });

  it('convolves circularly', () => {
    const x = noise(960);
    const h = new Float64Array(960);
    h.set([0.5, 0, 0, -0.25], 10);
    const transform = realFourier(960);
    const response = spectrumOf(h);
    const kernel = transform.kernel((target) => target.set(response));
    const y = transform.filter(
      (samples) => samples.set(x),
      kernel,
      (samples) => samples.slice(),
    );
    for (const n of [0, 5, 12, 13, 500, 959])
      expect(y[n]).toBeCloseTo(0.5 * x[(n + 950) % 960] - 0.25 * x[(n + 947) % 960], 5);
  });

  it('stays right when many sizes follow each other and the heap grows', () => {
    for (const size of [2 ** 20, 64, 2 ** 18, 96, 2 ** 19, 160, 320, 2 ** 21]) {
      const impulse = new Float64Array(size);
      impulse[3] = 2;
      const spectrum = spectrumOf(impulse);
      expect(Math.hypot(spectrum[10], spectrum[11])).toBeCloseTo(2, 5);
    }
  });

  it('refuses sizes it cannot do, and nesting', () => {
    expect(() => realFourier(100)).toThrow(/fastSize/);
    expect(() => spectrumOf(new Float64Array(32 * 7))).toThrow(/fastSize/);
    expect(() => realFourier(64).forward(() => spectrumOf(new Float64Array(32)), Boolean)).toThrow(/nest/);
    expect(spectrumOf(new Float64Array(32)).length).toBe(32);
  });
});

describe('fastSize', () => {
  it('finds the nearest size either side', () => {
    expect([1, 32, 33, 1000, 480_001, 2 ** 19].map((n) => fastSize(n, 'atLeast'))).toEqual([
      32,
      32,
      64,
      1024,
      491_520,
      2 ** 19,
    ]);
    expect([1, 32, 63, 1000, 480_001].map((n) => fastSize(n, 'atMost'))).toEqual([32, 32, 32, 960, 480_000]);
  });
});
