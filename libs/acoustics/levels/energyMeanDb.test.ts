import * as fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { energyMeanDb } from './energyMeanDb.js';

const level = fc.double({ min: -60, max: 140, noNaN: true });
const curves = fc
  .tuple(fc.integer({ min: 1, max: 12 }), fc.integer({ min: 1, max: 8 }))
  .chain(([count, length]) =>
    fc.array(
      fc.array(level, { minLength: length, maxLength: length }).map((values) => Float64Array.from(values)),
      { minLength: count, maxLength: count },
    ),
  );

describe('energyMeanDb', () => {
  it('means energy, not decibels', () => {
    // 80 and 90 dB: 10 log10((1e8 + 1e9)/2) = 87.4036 dB, by hand.
    expect(energyMeanDb([Float64Array.of(80), Float64Array.of(90)])[0]).toBeCloseTo(87.4036, 4);
  });

  it('does not depend on the order of the curves', () => {
    fc.assert(
      fc.property(curves, (levels) => {
        const forward = energyMeanDb(levels);
        const backward = energyMeanDb(levels.toReversed());
        forward.forEach((value, at) => expect(Math.abs(value - backward[at])).toBeLessThan(1e-9));
      }),
    );
  });

  it('rises by a gain applied to all curves', () => {
    fc.assert(
      fc.property(curves, fc.double({ min: -40, max: 40, noNaN: true }), (levels, gainDb) => {
        const before = energyMeanDb(levels);
        const after = energyMeanDb(levels.map((values) => values.map((value) => value + gainDb)));
        after.forEach((value, at) => expect(Math.abs(value - before[at] - gainDb)).toBeLessThan(1e-9));
      }),
    );
  });

  it('lies between the mean of decibels and the loudest curve', () => {
    fc.assert(
      fc.property(curves, (levels) => {
        energyMeanDb(levels).forEach((value, at) => {
          const column = levels.map((values) => values[at]);
          const mean = column.reduce((sum, db) => sum + db, 0) / column.length;
          expect(value).toBeGreaterThanOrEqual(mean - 1e-9);
          expect(value).toBeLessThanOrEqual(Math.max(...column) + 1e-9);
        });
      }),
    );
  });

  it('of equal curves is that curve', () => {
    const curve = Float64Array.of(84.2, 91.7);
    const mean = energyMeanDb([curve, curve, curve]);
    mean.forEach((value, at) => expect(value).toBeCloseTo(curve[at], 10));
  });
});
