import { describe, expect, it } from 'vitest';
import { besselJ0, besselJ1 } from './bessel.js';
import { pistonPattern, sourceDirectivity } from './sourceDirectivity.js';

describe('besselJ1', () => {
  // Abramowitz & Stegun, Handbook of Mathematical Functions, table 9.1 and (zeros) table 9.5.
  it.each([
    [0.5, 0.2422684577],
    [1, 0.4400505857],
    [2, 0.5767248078],
    [5, -0.3275791376],
    [10, 0.0434727462],
    [15, 0.2051040386],
    [3.8317059702, 0],
    [16.4706300509, 0],
  ])('J1(%f)', (x, expected) => {
    expect(besselJ1(x)).toBeCloseTo(expected, 9);
  });

  it('passes from series to asymptotic form without a step, and is odd', () => {
    // Bessel's integral (A&S 9.1.21) as the slow second way.
    for (const x of [12.5, 13.999, 14.001, 17, 29]) {
      const points = 2000;
      let sum = 0;
      let sumZero = 0;
      for (let n = 0; n < points; n++) {
        const t = ((n + 0.5) * Math.PI) / points;
        sum += Math.cos(t - x * Math.sin(t));
        sumZero += Math.cos(x * Math.sin(t));
      }
      expect(besselJ0(x)).toBeCloseTo(sumZero / points, 9);
      expect(besselJ1(x)).toBeCloseTo(sum / points, 9);
      expect(besselJ1(-x)).toBe(-besselJ1(x));
    }
  });
});

describe('sourceDirectivity', () => {
  it.each([0.5, 1, 2, 5, 10])('a circular piston has the exact directivity index at ka %f', (ka) => {
    // Beranek; Kinsler & Frey: DI = 10 log10[(ka)^2 / (1 - J1(2ka)/ka)], radiation into the half space.
    const exact = 10 * Math.log10(ka ** 2 / (1 - besselJ1(2 * ka) / ka));
    const steps = 4000;
    let power = 0;
    for (let n = 0; n < steps; n++) {
      const angle = ((n + 0.5) * Math.PI) / 2 / steps;
      power += pistonPattern(ka * Math.sin(angle)) ** 2 * Math.sin(angle) * (Math.PI / 2 / steps);
    }
    expect(10 * Math.log10(2 / power)).toBeCloseTo(exact, 5);
  });

  it('a waveguide holds its coverage angle once its walls are in control', () => {
    const shape = {
      shape: 'guided' as const,
      mouthRadiusM: { horizontal: 0.2, vertical: 0.1 },
      coverageDeg: { horizontal: 45, vertical: 30 },
    };
    const k = (2 * Math.PI * 12000) / 343.2;
    const halfPressure = (value: number) => 20 * Math.log10(value);
    expect(halfPressure(sourceDirectivity(shape, k, Math.SQRT1_2, 0))).toBeCloseTo(-6, 1);
    expect(halfPressure(sourceDirectivity(shape, k, 0, 0.5))).toBeCloseTo(-6, 1);
    expect(sourceDirectivity(shape, k / 200, 1, 0)).toBeGreaterThan(0.98);
  });

  it('a ring follows J0', () => {
    // Abramowitz & Stegun, table 9.1: J0(1), J0(2.4), J0(5).
    for (const [x, expected] of [
      [1, 0.7651976866],
      [2.4, 0.0025076833],
      [5, -0.1775967713],
    ] as const) {
      expect(sourceDirectivity({ shape: 'ring', radiusM: 1 }, x, 1, 0)).toBeCloseTo(expected, 9);
    }
  });

  it('a rectangle has its first null where its width is one wave length', () => {
    const k = 2 * Math.PI;
    expect(sourceDirectivity({ shape: 'rectangular', widthM: 2, heightM: 0.1 }, k, 0.5, 0)).toBeCloseTo(
      0,
      12,
    );
  });
});
