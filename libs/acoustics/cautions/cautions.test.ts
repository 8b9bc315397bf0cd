import { describe, expect, it } from 'vitest';
import { allowedMinutes } from './allowedMinutes.js';
import { noiseDose } from './noiseDose.js';
import { recommendedWeightLimit } from './recommendedWeightLimit.js';

describe('noise dose', () => {
  // NIOSH publication 98-126, table 1-1 (printed rounded) and its formula.
  it.each([
    [85, 480],
    [88, 240],
    [90, 151.191],
    [94, 60],
    [97, 30],
    [100, 15],
    [110, 1.4882],
  ])('allows %i dBA for %f minutes', (levelDba, minutes) => {
    expect(allowedMinutes(levelDba)).toBeCloseTo(minutes, 3);
  });

  it('adds 88 dBA for 240 min and 91 dBA for 60 min to 150 %, TWA 86.76 dBA', () => {
    const dose = noiseDose([
      { levelDba: 88, minutes: 240 },
      { levelDba: 91, minutes: 60 },
    ]);
    expect(dose.percent).toBeCloseTo(150, 9);
    expect(dose.timeWeightedAverageDba).toBeCloseTo(86.76, 2);
  });

  it('is nothing without exposure and refuses nonsense', () => {
    expect(noiseDose([])).toEqual({ percent: 0 });
    expect(() => noiseDose([{ levelDba: 90, minutes: -1 }])).toThrow(RangeError);
    expect(() => noiseDose([{ levelDba: NaN, minutes: 1 }])).toThrow(/dBA/);
  });
});

// Waters, Putz-Anderson, Garg: Applications Manual for the Revised NIOSH Lifting Equation (94-110).
describe('recommendedWeightLimit', () => {
  it('is 23 kg for the ideal lift', () => {
    expect(recommendedWeightLimit({ horizontalCm: 25, verticalCm: 75, travelCm: 25 })).toBe(23);
  });

  it('is 9.31 kg from the floor to a stand, 40 cm away, fair grip', () => {
    const lift = { horizontalCm: 40, verticalCm: 0, travelCm: 75, grip: 'fair' } as const;
    expect(recommendedWeightLimit(lift)).toBeCloseTo(9.31, 2);
  });

  it('takes off 29 % for a quarter turn and 10 % for a poor grip', () => {
    const lift = { horizontalCm: 25, verticalCm: 75, travelCm: 25 };
    expect(recommendedWeightLimit({ ...lift, asymmetryDeg: 90 })).toBeCloseTo(23 * 0.712, 9);
    expect(recommendedWeightLimit({ ...lift, grip: 'poor' })).toBeCloseTo(20.7, 9);
  });

  it('forbids what the equation forbids and refuses nonsense', () => {
    const lift = { horizontalCm: 25, verticalCm: 75, travelCm: 25 };
    expect(recommendedWeightLimit({ ...lift, horizontalCm: 64 })).toBe(0);
    expect(recommendedWeightLimit({ ...lift, verticalCm: 176 })).toBe(0);
    expect(recommendedWeightLimit({ ...lift, asymmetryDeg: 136 })).toBe(0);
    expect(() => recommendedWeightLimit({ ...lift, travelCm: -1 })).toThrow(/travelCm/);
  });
});
