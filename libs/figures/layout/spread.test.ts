import * as fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { spread } from './spread.js';

describe('spread', () => {
  it('leaves alone what is far enough apart', () => {
    expect(spread([10, 40, 90], 20, 0, 100)).toEqual([10, 40, 90]);
  });

  it('parts two that coincide evenly about their place', () => {
    expect(spread([50, 50], 20, 0, 100)).toEqual([40, 60]);
  });

  it('moves a crowd at the edge inwards', () => {
    expect(spread([99, 100, 100], 10, 0, 100)).toEqual([80, 90, 100]);
  });

  it('shrinks the gap where the room is too small', () => {
    expect(spread([5, 5, 5], 30, 0, 20)).toEqual([0, 10, 20]);
  });

  const crowds = fc.array(fc.double({ min: 0, max: 300, noNaN: true }), { minLength: 1, maxLength: 12 });

  it('keeps the gap, the bounds and the order, whatever is wanted', () => {
    fc.assert(
      fc.property(crowds, (values) => {
        const wanted = values.toSorted((a, b) => a - b);
        const placed = spread(wanted, 18, 0, 300);
        expect(placed).toHaveLength(wanted.length);
        placed.forEach((place, index) => {
          expect(place).toBeGreaterThanOrEqual(-1e-9);
          expect(place).toBeLessThanOrEqual(300 + 1e-9);
          expect(place - (placed[index - 1] ?? -Infinity)).toBeGreaterThanOrEqual(18 - 1e-9);
        });
      }),
    );
  });

  it('moves labels no more than a slow projection finds necessary', () => {
    fc.assert(
      fc.property(crowds, (values) => {
        const wanted = values.toSorted((a, b) => a - b);
        const cost = (places: readonly number[]) =>
          places.reduce((sum, place, index) => sum + (place - (wanted[index] ?? 0)) ** 2, 0);
        expect(cost(spread(wanted, 18, 0, 300))).toBeLessThanOrEqual(cost(slowly(wanted, 18, 0, 300)) + 0.05);
      }),
      { numRuns: 40 },
    );
  });
});

/** Dykstra's alternating projections onto each pair's gap and the bounds: slow, and independent of the pools. */
function slowly(wanted: readonly number[], gap: number, low: number, high: number): number[] {
  const places = [...wanted];
  const pulls = Array.from({ length: wanted.length + 1 }, () => [0, 0] as [number, number]);
  for (let round = 0; round < 4000; round += 1) {
    for (let pair = 0; pair <= wanted.length; pair += 1) {
      const i = pair - 1;
      const j = pair;
      const pull = pulls[pair] ?? [0, 0];
      const a = i < 0 ? low - gap : (places[i] ?? 0) + pull[0];
      const b = j >= wanted.length ? high + gap : (places[j] ?? 0) + pull[1];
      const short = Math.max(0, gap - (b - a));
      const toA = i < 0 ? 0 : j >= wanted.length ? short : short / 2;
      const toB = short - toA;
      if (i >= 0) places[i] = a - toA;
      if (j < wanted.length) places[j] = b + toB;
      pulls[pair] = [toA, -toB];
    }
  }
  return places;
}
