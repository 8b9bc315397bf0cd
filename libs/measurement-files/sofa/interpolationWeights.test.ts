import * as fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  angleBetween,
  frameOf,
  fromSpherical,
  into,
  orbitDirection,
  outOf,
  unit,
  type Vector,
} from './directions.js';
import { interpolationWeights } from './interpolationWeights.js';

describe('directions', () => {
  it('puts the horizontal orbit on azimuth, the vertical on elevation and over the top', () => {
    const near = (a: Vector, b: Vector) => a.forEach((value, at) => expect(value).toBeCloseTo(b[at], 12));
    near(orbitDirection('horizontal', 30), fromSpherical(30, 0, 1));
    near(orbitDirection('horizontal', -170), fromSpherical(190, 0, 1));
    near(orbitDirection('vertical', 60), fromSpherical(0, 60, 1));
    near(orbitDirection('vertical', 120), fromSpherical(180, 60, 1));
    near(orbitDirection('vertical', -90), fromSpherical(0, -90, 1));
  });

  it('turns in and out of a frame without loss, keeping lengths', () => {
    const vector = fc.tuple(
      ...[0, 1, 2].map(() => fc.double({ min: -3, max: 3, noNaN: true })),
    ) as fc.Arbitrary<[number, number, number]>;
    fc.assert(
      fc.property(vector, vector, vector, (view, up, point) => {
        const frame = frameOf(view, up);
        fc.pre(
          frame !== undefined &&
            angleBetween(unit(view)!, unit(up)!) > 1 &&
            angleBetween(unit(view)!, unit(up)!) < 179,
        );
        const back = outOf(frame, into(frame, point));
        back.forEach((value, at) => expect(value).toBeCloseTo(point[at], 9));
        expect(Math.hypot(...into(frame, point))).toBeCloseTo(Math.hypot(...point), 9);
      }),
    );
    expect(frameOf([1, 0, 0], [2, 0, 0])).toBeUndefined();
  });
});

describe('interpolationWeights', () => {
  const ring = Array.from({ length: 36 }, (_, at) => fromSpherical(at * 10, 0, 1));

  it('takes the direction itself when it was measured', () => {
    expect(interpolationWeights(fromSpherical(30.3, 0.2, 1), ring)).toStrictEqual({
      indices: [3],
      weights: [1],
      farthestDeg: 0,
    });
  });

  it('takes the nearest pair on the arc, weighted by nearness', () => {
    const coarse = Array.from({ length: 24 }, (_, at) => fromSpherical(at * 15, 0, 1));
    const weights = interpolationWeights(fromSpherical(20, 0, 1), coarse)!;
    expect(weights.indices).toStrictEqual([1, 2]);
    expect(weights.weights[0]).toBeCloseTo(2 / 3, 9);
    expect(weights.farthestDeg).toBeCloseTo(10, 9);
  });

  it('never makes a vertical angle of a horizontal orbit', () => {
    for (const angle of [10, 20, 45, 90, -10, -90, 170]) {
      expect(interpolationWeights(orbitDirection('vertical', angle), ring)).toBeUndefined();
    }
  });

  it('gives up beyond the reach of what was measured', () => {
    expect(
      interpolationWeights(fromSpherical(0, 0, 1), [fromSpherical(35, 0, 1), fromSpherical(-35, 0, 1)]),
    ).toBeUndefined();
    expect(interpolationWeights(fromSpherical(0, 0, 1), [])).toBeUndefined();
  });

  it('has weights of 0..1 that sum to 1 and point back at the direction, on any dense sphere', () => {
    // A spiral that covers the sphere evenly and hits no great circle.
    const sphere = Array.from({ length: 600 }, (_, at) => {
      const z = 1 - (2 * at + 1) / 600;
      return fromSpherical(at * 137.50776, (Math.asin(z) * 180) / Math.PI, 1);
    });
    fc.assert(
      fc.property(
        fc.double({ min: 0, max: 360, noNaN: true }),
        fc.double({ min: -90, max: 90, noNaN: true }),
        (azimuth, elevation) => {
          const wanted = fromSpherical(azimuth, elevation, 1);
          const found = interpolationWeights(wanted, sphere)!;
          expect(found.weights.every((weight) => weight >= -1e-9 && weight <= 1 + 1e-9)).toBe(true);
          expect(found.weights.reduce((a, b) => a + b)).toBeCloseTo(1, 9);
          const mean = [0, 1, 2].map((axis) =>
            found.indices.reduce((sum, index, at) => sum + found.weights[at] * sphere[index][axis], 0),
          );
          // Beside an arc by what a detour of half a degree allows over legs of this length; or as good as measured.
          const allowed = Math.max(0.6, Math.sqrt(found.farthestDeg / 2)) * 1.02;
          expect(angleBetween(unit(mean as [number, number, number])!, wanted)).toBeLessThan(allowed);
          expect(found.farthestDeg).toBeLessThan(15);
        },
      ),
    );
  });
});
