import { describe, expect, it } from 'vitest';
import { soundPowerWeight } from './soundPowerWeight.js';

describe('soundPowerWeight', () => {
  // Derived: solid angle of a 10 degree cell within a quarter cut by the two planes at 45 degrees.
  it.each([
    [0, 0.000604486],
    [10, 0.004730188],
    [20, 0.008955027],
    [30, 0.012387354],
    [40, 0.014989611],
    [50, 0.016868154],
    [60, 0.018165962],
    [70, 0.019006744],
    [80, 0.019477787],
    [90, 0.019629373],
  ])('of the cell at %i degrees is %f, front and rear alike', (angleDeg, weight) => {
    expect(Math.abs(soundPowerWeight(angleDeg) - weight)).toBeLessThan(1e-9);
    expect(Math.abs(soundPowerWeight(180 - angleDeg) - weight)).toBeLessThan(1e-9);
  });

  it('sums to one over four half-orbits', () => {
    const half = Array.from({ length: 19 }, (_, k) => soundPowerWeight(10 * k));
    expect(4 * half.reduce((sum, weight) => sum + weight, 0)).toBeCloseTo(1, 12);
  });

  it('agrees with counting directions on an even spherical spiral', () => {
    // Independent of the formula: each direction goes to the nearest orbit and, there, to the nearest cell.
    const total = 400_000;
    const counts = new Float64Array(19);
    for (let n = 0; n < total; n += 1) {
      const x = 1 - (2 * n + 1) / total; // along the axis
      const turn = n * Math.PI * (3 - Math.sqrt(5));
      const around = Math.sqrt(1 - x * x);
      const y = around * Math.cos(turn);
      const z = around * Math.sin(turn);
      // Projected onto the orbit's plane, the direction's angle from the axis.
      const inPlane = Math.atan2(Math.max(Math.abs(y), Math.abs(z)), x) * (180 / Math.PI);
      counts[Math.round(inPlane / 10)] += 1;
    }
    counts.forEach((count, k) => {
      expect(Math.abs(count / total / 4 - soundPowerWeight(10 * k))).toBeLessThan(2e-5);
    });
  });
});
