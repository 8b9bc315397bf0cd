import { describe, expect, it } from 'vitest';
import { logGridHz } from '../grid/logGridHz.js';
import { bassLimits } from './bassLimits.js';

const grid = logGridHz(20, 20_000);

/** Butterworth high-pass of the given order, dB. */
function butterworth(order: number, cornerHz: number): Float64Array {
  return grid.map((hz) => -10 * Math.log10(1 + (cornerHz / hz) ** (2 * order)));
}

/**
 * Vented box without losses, dB: Small, "Vented-Box Loudspeaker Systems", JAES 1973, the fourth-order
 * response from alpha = Vas/Vb, h = fB/fS and QT, against f/fS.
 */
function ventedBox(fsHz: number, alpha: number, h: number, qt: number): Float64Array {
  return grid.map((hz) => {
    const w = hz / fsHz; // s = jw in units of the driver resonance; TB = 1/h, TS = 1
    const real = w ** 4 / h ** 2 - w ** 2 * ((alpha + 1) / h ** 2 + 1) + 1;
    const imaginary = -(w ** 3) / (h ** 2 * qt) + w / qt;
    return 10 * Math.log10((w ** 4 / h ** 2) ** 2 / (real ** 2 + imaginary ** 2));
  });
}

describe('bassLimits', () => {
  it('finds the corner of a fourth-order Butterworth and F10/F3 = 9^(-1/8)', () => {
    // Derived: |H|^2 = 1/(1 + (fc/f)^8), so -10 dB where (fc/f)^8 = 9 and -3.01 dB at fc.
    const { f3Hz, f10Hz, f6Hz, slopeDbPerOctave } = bassLimits(grid, butterworth(4, 60), 0);
    expect(f10Hz).toBeCloseTo(60 * 9 ** (-1 / 8), 1);
    expect(f3Hz).toBeCloseTo(60 * (10 ** 0.3 - 1) ** (-1 / 8), 1);
    expect(f6Hz).toBeCloseTo(60 * (10 ** 0.6 - 1) ** (-1 / 8), 1);
    expect((f10Hz ?? 0) / (f3Hz ?? 1)).toBeCloseTo(0.76, 2);
    // 24 dB per octave far below; the octave under F10 has not quite got there.
    expect(slopeDbPerOctave).toBeGreaterThan(22);
    expect(slopeDbPerOctave).toBeLessThan(24);
  });

  it('tells a closed box (12 dB per octave) from a vented one', () => {
    // A second-order roll-off has reached 11 dB per octave in the octave under its -10 dB point.
    const { slopeDbPerOctave } = bassLimits(grid, butterworth(2, 90), 0);
    expect(slopeDbPerOctave).toBeGreaterThan(10);
    expect(slopeDbPerOctave).toBeLessThan(12);
  });

  // Thiele, "Loudspeakers in Vented Boxes" (1961; JAES 1971), table I, as recalled: f3/fs, fB/fs, Cas/Cab
  // (= alpha), QT. That the recalled figures give back f3 confirms them.
  it.each([
    ['QB3, no. 1', 2.68, 2.0, 10.48, 0.18],
    ['QB3, no. 2', 2.28, 1.73, 7.48, 0.209],
    ['QB3, no. 3', 1.77, 1.42, 4.46, 0.259],
    ['QB3, no. 4', 1.45, 1.23, 2.95, 0.303],
    ['B4, no. 5', 1.0, 1.0, 1.414, 0.383],
  ])('finds F3 of the vented-box alignment %s', (_, f3OverFs, h, alpha, qt) => {
    const fsHz = 40;
    const { f3Hz } = bassLimits(grid, ventedBox(fsHz, alpha, h, qt), 0);
    expect((f3Hz ?? 0) / fsHz / f3OverFs).toBeCloseTo(1, 1.7);
  });

  it('finds F10 of the B4 alignment where the Butterworth has it', () => {
    const { f3Hz, f10Hz } = bassLimits(
      grid,
      ventedBox(40, Math.SQRT2, 1, 1 / Math.sqrt(4 + 2 * Math.SQRT2)),
      0,
    );
    expect(f3Hz).toBeCloseTo(40 * (10 ** 0.3 - 1) ** (-1 / 8), 1);
    expect(f10Hz).toBeCloseTo(40 * 9 ** (-1 / 8), 1);
  });

  it('takes the lowest crossing that stays below', () => {
    // A dip at 100 Hz below the threshold is no bass limit.
    const withDip = butterworth(4, 40).map((db, at) => (grid[at] > 90 && grid[at] < 110 ? db - 8 : db));
    expect(bassLimits(grid, withDip, 0).f6Hz).toBeCloseTo(40 * (10 ** 0.6 - 1) ** (-1 / 8), 1);
  });

  it('is not fooled by a hum line', () => {
    const withHum = butterworth(4, 120).map((db, at) => (Math.abs(grid[at] / 50 - 1) < 0.02 ? -1 : db));
    expect(bassLimits(grid, withHum, 0).f3Hz).toBeCloseTo(120 * (10 ** 0.3 - 1) ** (-1 / 8), 0);
  });

  it('leaves out limits the data does not reach', () => {
    expect(bassLimits(grid, new Float64Array(grid.length), 0)).toEqual({});
    expect(bassLimits(grid, butterworth(4, 22), 0).slopeDbPerOctave).toBeUndefined();
  });
});
