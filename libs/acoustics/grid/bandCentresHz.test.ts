import { describe, expect, it } from 'vitest';
import { bandCentresHz } from './bandCentresHz.js';
import { bandEdgesHz } from './bandEdgesHz.js';

/** ISO 266 preferred frequencies, third octaves 20 Hz .. 20 kHz. */
const ISO_266 = [
  20, 25, 31.5, 40, 50, 63, 80, 100, 125, 160, 200, 250, 315, 400, 500, 630, 800, 1000, 1250, 1600, 2000,
  2500, 3150, 4000, 5000, 6300, 8000, 10000, 12500, 16000, 20000,
];

describe('bandCentresHz', () => {
  // IEC 61260-1 / ANSI S1.11, base ten: thirds by index k from 1 kHz.
  it.each([
    [-17, 19.95262],
    [-10, 100],
    [1, 1258.92541],
    [13, 19952.62315],
  ])('third-octave k = %i is %f Hz', (k, hz) => {
    const centres = bandCentresHz(3, 19, 20_500);
    expect(centres[k + 17]).toBeCloseTo(hz, 5);
  });

  it('lists the 31 thirds whose nominal names ISO 266 gives', () => {
    const centres = bandCentresHz(3, 19.9, 20_000);
    expect(centres).toHaveLength(ISO_266.length);
    // Nominal values are the exact ones rounded by at most 1.3 % (400 x 10^0.1 steps to R10 numbers).
    centres.forEach((hz, at) => expect(Math.abs(hz / ISO_266[at] - 1)).toBeLessThan(0.013));
  });

  it('puts 1 kHz at a centre for odd and at an edge for even fractions', () => {
    expect(bandCentresHz(1, 900, 4500)[0]).toBeCloseTo(1000, 9);
    const [first] = bandCentresHz(6, 1000, 1100);
    expect(bandEdgesHz(first, 6)[0]).toBeCloseTo(1000, 9);
  });

  it('gives the 1 kHz third its edges 891.25 .. 1122.02 Hz', () => {
    const [low, high] = bandEdgesHz(1000, 3);
    expect(low).toBeCloseTo(891.25094, 5);
    expect(high).toBeCloseTo(1122.01845, 5);
  });
});
