import { describe, expect, it } from 'vitest';
import { alignment } from './alignment.js';
import { add, decibels, magnitude } from './complex.js';
import { butterworth, highShelf, linkwitzRiley, peaking, type Transfer } from './transfer.js';

const levelDb = (transfer: Transfer, hz: number) => decibels(magnitude(transfer(hz)));

/** The frequency at which a rising curve passes `level`, by bisection. */
function crossing(transfer: Transfer, level: number, fromHz: number, toHz: number): number {
  let [low, high] = [fromHz, toHz];
  for (let step = 0; step < 60; step++) {
    const middle = Math.sqrt(low * high);
    if (levelDb(transfer, middle) < level) low = middle;
    else high = middle;
  }
  return low;
}

describe('crossover filters', () => {
  it.each([4, 8] as const)('Linkwitz-Riley of order %i sums flat', (order) => {
    // Linkwitz 1976, JAES 24: in-phase outputs that add to an all-pass.
    const low = linkwitzRiley('lowpass', order, 2300);
    const high = linkwitzRiley('highpass', order, 2300);
    for (const hz of [50, 700, 2000, 2300, 3100, 15000]) {
      expect(decibels(magnitude(add(low(hz), high(hz))))).toBeCloseTo(0, 9);
    }
    expect(levelDb(low, 2300)).toBeCloseTo(-6.0206, 4);
  });

  it('Butterworth is 3.01 dB down at its corner and falls as the order says', () => {
    for (const order of [1, 2, 3, 4, 5]) {
      const high = butterworth('highpass', order, 100);
      expect(levelDb(high, 100)).toBeCloseTo(-3.0103, 4);
      for (const hz of [20, 60, 90, 300]) {
        // |H|^2 = 1 / (1 + (fc/f)^2n) (Butterworth 1930).
        expect(levelDb(high, hz)).toBeCloseTo(-10 * Math.log10(1 + (100 / hz) ** (2 * order)), 9);
      }
    }
  });

  it('peaks and shelves have their stated gain', () => {
    // RBJ Audio EQ Cookbook: the peak's bandwidth at half its gain in dB is f0/Q.
    const peak = peaking(1000, 6, 2);
    expect(levelDb(peak, 1000)).toBeCloseTo(6, 9);
    const half = 1 / (2 * 2) + Math.sqrt(1 + 1 / 16);
    expect(levelDb(peak, 1000 * half)).toBeCloseTo(3, 6);
    expect(levelDb(highShelf(500, -4), 500)).toBeCloseTo(-2, 9);
    expect(levelDb(highShelf(500, -4), 50000)).toBeCloseTo(-4, 2);
  });
});

describe('low-frequency alignments', () => {
  it('closed box with Q 0.707 is second-order Butterworth', () => {
    const box = alignment({ kind: 'closed', resonanceHz: 55, q: Math.SQRT1_2 });
    for (const hz of [20, 55, 120]) {
      expect(levelDb(box.total, hz)).toBeCloseTo(-10 * Math.log10(1 + (55 / hz) ** 4), 9);
    }
  });

  it('vented box tuned as B4 is fourth-order Butterworth', () => {
    // Thiele 1961 alignment 5: compliance ratio sqrt(2), box tuned to the driver, Q = 0.3827, no losses.
    const box = alignment({
      kind: 'vented',
      driverHz: 40,
      driverQ: 1 / Math.sqrt(4 + 2 * Math.SQRT2),
      boxHz: 40,
      complianceRatio: Math.SQRT2,
      leakQ: 1e12,
    });
    expect(levelDb(box.total, 40)).toBeCloseTo(-3.0103, 3);
    for (const hz of [20, 30, 60, 100]) {
      expect(levelDb(box.total, hz)).toBeCloseTo(-10 * Math.log10(1 + (40 / hz) ** 8), 3);
    }
    // A fourth-order Butterworth's F10 stands at 9^(-1/8) of its F3 for exact 3.01 and 10 dB points.
    const f3 = crossing(box.total, -10 * Math.log10(2), 10, 200);
    const f10 = crossing(box.total, -10, 10, 200);
    expect(f10 / f3).toBeCloseTo(9 ** (-1 / 8), 4);
  });

  it('cone and vent add up to the whole, and the cone rests at the tuning', () => {
    const box = alignment({
      kind: 'vented',
      driverHz: 42,
      driverQ: 0.36,
      boxHz: 45,
      complianceRatio: 1.3,
      leakQ: 8,
    });
    for (const hz of [15, 30, 45, 80, 300]) {
      const sum = add(box.cone(hz), box.vent(hz));
      expect(sum.re).toBeCloseTo(box.total(hz).re, 12);
      expect(sum.im).toBeCloseTo(box.total(hz).im, 12);
    }
    expect(magnitude(box.cone(45))).toBeLessThan(0.3 * magnitude(box.vent(45)));
  });
});
