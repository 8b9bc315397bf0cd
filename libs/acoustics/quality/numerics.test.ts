import { describe, expect, it } from 'vitest';
import { localTrend } from '../impedance/localTrend.js';
import type { AngleResponse } from '../series.js';
import { gaussianNumbers } from '../testing/gaussianNumbers.js';
import { angleRanges } from './angleRanges.js';
import { findSignFlip } from './findSignFlip.js';
import { findSteps } from './findSteps.js';
import { halfOrbitRoughness } from './halfOrbitRoughness.js';
import { median } from './median.js';
import { phaseOffsetDeg } from './phaseOffsetDeg.js';
import { ringResidual } from './ringResidual.js';
import { rms } from './rms.js';
import { robustSpread } from './robustSpread.js';
import { roughnessDb } from './roughnessDb.js';

describe('robust statistics', () => {
  it('by hand', () => {
    expect(median([3, 1, 2])).toBe(2);
    expect(median([4, 1, 2, 3])).toBe(2.5);
    expect(median([])).toBeNaN();
    expect(rms([3, 4])).toBeCloseTo(Math.sqrt(12.5), 12);
    // Distances from the median 2 of 1, 2, 3, 90 and 2 are 1, 0, 1, 88, 0: their median is 1.
    expect(robustSpread([1, 2, 3, 90, 2])).toBeCloseTo(1.4826, 12);
  });

  it('the robust spread of normal deviates is their standard deviation', () => {
    const normal = gaussianNumbers(3);
    expect(robustSpread(Array.from({ length: 20_000 }, () => 2 * normal()))).toBeCloseTo(2, 1);
  });
});

describe('roughnessDb', () => {
  const frequencyHz = Float64Array.from({ length: 400 }, (_, k) => 500 * 4 ** (k / 399));

  it('is the standard deviation of noise and nothing of a smooth curve', () => {
    const normal = gaussianNumbers(8);
    const smooth = frequencyHz.map((hz) => 80 + 5 * Math.sin(3 * Math.log2(hz)));
    expect(roughnessDb(frequencyHz, smooth, [500, 2000])).toBeLessThan(0.01);
    const noisy = smooth.map((level) => level + 1.5 * normal());
    expect(Math.abs((roughnessDb(frequencyHz, noisy, [500, 2000]) ?? 0) - 1.5)).toBeLessThan(0.35);
  });

  it('does not judge coarse data', () => {
    expect(roughnessDb(frequencyHz.slice(0, 12), frequencyHz.slice(0, 12), [500, 2000])).toBeUndefined();
  });
});

describe('ringResidual', () => {
  it('vanishes for a cubic and gives a lone reading back', () => {
    const cubic = Array.from({ length: 9 }, (_, k) => k ** 3 - 4 * k ** 2 + k - 7);
    const open = ringResidual(
      cubic,
      cubic.map(() => true),
      false,
    );
    expect(open.slice(0, 2)).toEqual([undefined, undefined]);
    for (const residual of open.slice(2, -2)) expect(residual).toBeCloseTo(0, 9);
    const lone = [0, 0, 0, 0, 1, 0, 0, 0];
    expect(
      ringResidual(
        lone,
        lone.map(() => true),
        true,
      ),
    ).toEqual([0, 0, 1 / 6, -4 / 6, 1, -4 / 6, 1 / 6, 0]);
  });

  it('says nothing beside a reading that may not be used', () => {
    const values = [1, 2, 3, 4, 5, 6, 7];
    const valid = values.map((value) => value !== 4);
    expect(ringResidual(values, valid, true).filter((residual) => residual !== undefined)).toHaveLength(2);
  });
});

describe('findSteps', () => {
  const angles = Array.from({ length: 36 }, (_, k) => ((k + 1) * 10 - 180) * (Math.PI / 180));
  const bands = Array.from({ length: 8 }, (_, b) => angles.map((angle) => 80 - b * (1 - Math.cos(angle))));
  const stepped = (members: readonly number[], db: number): number[][] =>
    bands.map((band) => band.map((level, at) => (members.includes(at) ? level + db : level)));

  it('finds nothing in a smooth ring, nor in a shape that differs from band to band', () => {
    expect(findSteps(bands, true)).toEqual([]);
    const shaped = bands.map((band, b) =>
      band.map((level, at) => (at === 20 ? level + (b % 2 ? 2 : -2) : level)),
    );
    expect(findSteps(shaped, true)).toEqual([]);
  });

  it('finds a lone reading and its size', () => {
    const [step, ...more] = findSteps(stepped([7], 1.2), true);
    expect(step.members).toEqual([7]);
    expect(step.stepDb).toBeCloseTo(1.2, 1);
    expect(more).toEqual([]);
  });

  it('finds a run, also across the end of the ring', () => {
    const [step] = findSteps(stepped([34, 35, 0, 1, 2, 3], -2), true);
    expect(step.members).toEqual([34, 35, 0, 1, 2, 3]);
    expect(step.stepDb).toBeCloseTo(-2, 1);
  });

  it('finds two faults one after the other', () => {
    const both = stepped([5], 3).map((band) => band.map((level, at) => (at === 25 ? level - 2 : level)));
    const found = findSteps(both, true).map(({ members, stepDb }) => [members[0], Math.round(stepDb)]);
    expect(found).toEqual([
      [5, 3],
      [25, -2],
    ]);
  });

  it('works on an open stretch', () => {
    const open = stepped([9], 2).map((band) => band.slice(0, 19));
    expect(findSteps(open, false)[0].members).toEqual([9]);
  });
});

describe('findSignFlip', () => {
  const rows = Array.from({ length: 19 }, (_, k) => (k * Math.PI) / 18);
  const even = rows.map((angle) => [1, 1.2, 0.8, 1.1].map((size) => size * (1 + Math.cos(angle))));
  const odd = rows.map((angle) => [0.3, 0.5, -0.4, 0.2].map((size) => size * Math.sin(2 * angle)));

  it('finds the exchanged rows and leaves a right orbit alone', () => {
    expect(findSignFlip({ even, odd })).toBeUndefined();
    const flipped = odd.map((row, at) => (at >= 3 && at <= 5 ? row.map((value) => -value) : row));
    expect(findSignFlip({ even, odd: flipped })).toMatchObject({ firstRow: 3, rows: 3 });
  });

  it('sees nothing where the sides are alike', () => {
    expect(findSignFlip({ even, odd: odd.map((row) => row.map(() => 0)) })).toBeUndefined();
  });

  it('measures smoothness across the ends by parity', () => {
    const cosine = rows.map((angle) => Math.cos(angle));
    const sine = rows.map((angle) => Math.sin(angle));
    // Cubics follow both to a few parts in a million at 10 degrees.
    expect(halfOrbitRoughness(cosine, 1)).toBeLessThan(1e-6);
    expect(halfOrbitRoughness(sine, -1)).toBeLessThan(1e-6);
    expect(halfOrbitRoughness(sine, 1)).toBeGreaterThan(1e-3);
  });
});

describe('phaseOffsetDeg', () => {
  const frequencyHz = Float64Array.from({ length: 400 }, (_, k) => 20 * 1000 ** (k / 399));
  const withPhase = (delayMs: number, offsetDeg: number): AngleResponse => ({
    orbit: 'horizontal',
    angleDeg: 0,
    frequencyHz,
    levelDb: frequencyHz.map(() => 80),
    phaseDeg: frequencyHz.map((hz) => {
      const turned = offsetDeg - 0.36 * hz * delayMs;
      return turned - 360 * Math.round(turned / 360);
    }),
    source: { file: 'a', sha256: 'a' },
  });

  it.each([0, 0.3, -1.4, 6])(
    'is 0 for a delay of %f ms alone and 180 with the polarity turned',
    (delayMs) => {
      expect(phaseOffsetDeg(withPhase(0, 0), withPhase(delayMs, 0))).toBeLessThan(12);
      expect(phaseOffsetDeg(withPhase(0, 0), withPhase(delayMs, 180))).toBeGreaterThan(168);
    },
  );

  it('is unknown without phase', () => {
    const { phaseDeg: _, ...without } = withPhase(0, 0);
    expect(phaseOffsetDeg(without, withPhase(0, 0))).toBeUndefined();
  });
});

describe('localTrend', () => {
  it('is exact for a parabola and ignores a narrow bump', () => {
    const parabola = Float64Array.from({ length: 200 }, (_, k) => 1 + k / 50 - (k / 100) ** 2);
    localTrend(parabola, 19).forEach((value, at) => expect(value).toBeCloseTo(parabola[at], 9));
    const normal = gaussianNumbers(2);
    const bumped = parabola.map((value, at) => value + 0.001 * normal() + (Math.abs(at - 90) < 3 ? 0.1 : 0));
    localTrend(bumped, 19).forEach((value, at) => expect(Math.abs(value - parabola[at])).toBeLessThan(0.005));
  });
});

describe('angleRanges', () => {
  it('runs steps of ten together', () => {
    expect(angleRanges([-30, -20, -10, 40])).toBe('-30° to -10°, +40°');
    expect(angleRanges([10, 20, 180])).toBe('+10°, +20°, 180°');
  });
});
