import { describe, expect, it } from 'vitest';
import { applyInterpolation } from './applyInterpolation.js';
import { interpolationPlan } from './interpolationPlan.js';
import { logGridHz } from './logGridHz.js';
import { valueAtHz } from './valueAtHz.js';

describe('logGridHz', () => {
  const grid = logGridHz(1, 48_000);

  it('runs from 20 Hz to 20 kHz', () => {
    expect(grid[0]).toBe(20);
    expect(grid.at(-1)).toBeCloseTo(20_000, 6);
  });

  it('has more than the 20 points per octave ANSI/CTA-2034-A asks for, evenly spaced', () => {
    const ratios = Array.from(grid.slice(1), (hz, at) => Math.log2(hz / grid[at]));
    for (const ratio of ratios) expect(ratio).toBeCloseTo(Math.log2(1000) / 279, 9);
    expect(1 / ratios[0]).toBeGreaterThan(20);
  });

  it.each([20, 50, 100, 200, 500, 1000, 2000, 5000, 10_000, 20_000])('has a point at %i Hz', (hz) => {
    const nearest = Math.min(...Array.from(grid, (point) => Math.abs(point / hz - 1)));
    expect(nearest).toBeLessThan(5e-4);
  });

  it('is cut to the data, forgiving a quarter of a step at the ends', () => {
    const cut = logGridHz(20.1, 9999);
    expect(cut[0]).toBe(20);
    expect(cut.at(-1)).toBeCloseTo(10_000, -2);
    expect(logGridHz(100.7, 500)[0]).toBeGreaterThan(101);
    expect(logGridHz(30_000, 40_000)).toHaveLength(0);
  });
});

describe('interpolation over log frequency', () => {
  const sourceHz = Float64Array.of(0, 10, 100, 1000, 10_000);
  const straight = Float64Array.of(99, 1, 2, 3, 4); // log10 f, but for the bin at 0 Hz

  it('is exact for a straight line in log f', () => {
    const gridHz = Float64Array.of(10, 20, 100, 250, 9000);
    const values = applyInterpolation(interpolationPlan(sourceHz, gridHz), straight, 5);
    values.forEach((value, at) => expect(value).toBeCloseTo(5 + Math.log10(gridHz[at]), 10));
  });

  it('holds the end values and never uses a bin at 0 Hz', () => {
    const values = applyInterpolation(interpolationPlan(sourceHz, Float64Array.of(5, 20_000)), straight);
    expect(Array.from(values)).toEqual([1, 4]);
  });

  it('reads single values the same way', () => {
    expect(valueAtHz([10, 100], [1, 2], 50)).toBeCloseTo(Math.log10(50), 10);
    expect(valueAtHz([10, 100], [1, 2], 1)).toBe(1);
    expect(valueAtHz([10, 100], [1, 2], 1000)).toBe(2);
  });
});
