import * as fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { FigureSeries } from '../description.js';
import { curvePath } from './curvePath.js';

const BOX = { x: 0, y: 0, width: 100, height: 50 };
const same = (value: number) => value;

function series(points: readonly (readonly [number, number | null])[]): FigureSeries {
  return {
    id: 'one',
    label: 'One',
    shortLabel: '1',
    slot: 0,
    dash: 'solid',
    emphasis: 'main',
    x: points.map(([x]) => x),
    y: points.map(([, y]) => y),
  };
}

const pathOf = (points: readonly (readonly [number, number | null])[]) =>
  curvePath(series(points), same, same, BOX);

function pointsOf(path: string): [number, number][] {
  return path
    .split(/[MLZ]/)
    .filter((part) => part !== '')
    .map((part) => part.split(',').map(Number) as [number, number]);
}

describe('curvePath', () => {
  it('draws what lies inside as it is', () => {
    expect(
      pathOf([
        [0, 10],
        [50, 20],
        [100, 10],
      ]).path,
    ).toBe('M0,10L50,20L100,10');
  });

  it('breaks at a gap, and shows a lone value', () => {
    expect(
      pathOf([
        [0, 10],
        [20, 10],
        [30, null],
        [40, 10],
        [50, null],
        [60, 20],
        [80, 20],
      ]).path,
    ).toBe('M0,10L20,10M38,10L42,10M60,20L80,20');
  });

  it('cuts exactly at the edge and goes on where the curve comes back', () => {
    expect(
      pathOf([
        [0, 40],
        [20, 60],
        [40, 40],
      ]).path,
    ).toBe('M0,40L10,50M30,50L40,40');
  });

  it('draws a segment that crosses the whole panel', () => {
    expect(
      pathOf([
        [40, -50],
        [60, 100],
      ]).path,
    ).toBe('M46.7,0L53.3,50');
  });

  it('ends where the label belongs, within the panel', () => {
    expect(
      pathOf([
        [0, 10],
        [90, 200],
      ]).end,
    ).toEqual([90, 50]);
    expect(pathOf([[0, null]]).end).toBeUndefined();
  });

  it('never leaves the panel, whatever the data', () => {
    const value = fc.oneof(fc.double({ min: -500, max: 500, noNaN: true }), fc.constant(null));
    const points = fc.array(fc.tuple(fc.double({ min: -50, max: 150, noNaN: true }), value), {
      maxLength: 40,
    });
    fc.assert(
      fc.property(points, (unsorted) => {
        const sorted = unsorted.toSorted((a, b) => a[0] - b[0]);
        for (const [x, y] of pointsOf(pathOf(sorted).path)) {
          expect(x).toBeGreaterThanOrEqual(0);
          expect(x).toBeLessThanOrEqual(100);
          expect(y).toBeGreaterThanOrEqual(0);
          expect(y).toBeLessThanOrEqual(50);
        }
      }),
    );
  });

  it('thins a curve of 60,000 points without losing its one-point peak', () => {
    const count = 60_000;
    const points = Array.from(
      { length: count },
      (_, i) => [(i * 100) / count, i === 31_415 ? 2 : 30] as const,
    );
    const { path } = pathOf(points);
    expect(path.length).toBeLessThan(6000);
    expect(Math.min(...pointsOf(path).map(([, y]) => y))).toBe(2);
  });
});
