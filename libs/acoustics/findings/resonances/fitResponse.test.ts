import { describe, expect, it } from 'vitest';
import { gaussianNumbers } from '../../testing/gaussianNumbers.js';
import { peakingDb } from '../testing/plantedUnit.js';
import { fitResponse } from './fitResponse.js';
import { responseData } from './responseData.js';

const HZ = Array.from({ length: 240 }, (_, i) => 20 * 2 ** (i / 24));
const PLANTED = [
  { centreHz: 130, levelDb: 3, q: 2.5 },
  { centreHz: 420, levelDb: -4, q: 3 },
  { centreHz: 760, levelDb: 2.5, q: 4 },
  { centreHz: 1300, levelDb: -2, q: 1.6 },
  { centreHz: 3100, levelDb: 4.5, q: 6 },
  { centreHz: 6200, levelDb: -3, q: 2 },
] as const;
const butterworth = (hz: number, cornerHz: number, order: number): number =>
  -10 * Math.log10(1 + (cornerHz / hz) ** (2 * order));

/** What lies under the features. */
const BASES: Readonly<Record<string, (hz: number) => number>> = {
  'no roll-off in the data': () => 0,
  'second-order bass': (hz) => butterworth(hz, 45, 2),
  'third-order bass': (hz) => butterworth(hz, 45, 3),
  'fourth-order bass and a tilt': (hz) => butterworth(hz, 45, 4) - 0.8 * Math.log2(hz / 1000),
  'a slow arch': (hz) => butterworth(hz, 45, 4) + 1.2 * Math.sin(0.8 * Math.log2(hz / 1000)),
  'a baffle step': (hz) => butterworth(hz, 45, 4) + 6 / (1 + (300 / hz) ** 1.2),
  'a treble roll-off': (hz) => butterworth(hz, 45, 4) - 10 * Math.log10(1 + (hz / 17_000) ** 4),
};

function bellsOf(
  levelDb: readonly number[],
): readonly { centreHz: number; levelDb: number; shape: string }[] {
  const data = responseData(HZ, levelDb);
  if (!data) throw new Error('the data is usable');
  return fitResponse(data).model.bells;
}

function expectPlanted(bells: readonly { centreHz: number; levelDb: number }[]): void {
  for (const planted of PLANTED) {
    const near = bells.filter((bell) => Math.abs(Math.log2(bell.centreHz / planted.centreHz)) < 1 / 12);
    expect(near.some((bell) => Math.abs(bell.levelDb - planted.levelDb) < 0.5)).toBe(true);
  }
  expect(bells.filter(({ levelDb }) => Math.abs(levelDb) > 1)).toHaveLength(PLANTED.length);
}

describe('fitResponse finds what stands on any reasonable base, and no more', () => {
  it.each(Object.entries(BASES))('%s', (_, base) => {
    const noise = gaussianNumbers(3);
    const levels = HZ.map((hz) => {
      const features = PLANTED.reduce(
        (sum, { centreHz, levelDb, q }) => sum + peakingDb(hz, centreHz, levelDb, q),
        0,
      );
      return 88 + base(hz) + features + 0.05 * noise();
    });
    expectPlanted(bellsOf(levels));
  });

  it('bells in log frequency too, which it tells from resonances', () => {
    const levels = HZ.map((hz) => {
      const features = PLANTED.reduce((sum, { centreHz, levelDb, q }) => {
        return sum + levelDb * Math.exp(-Math.LN2 * (Math.log(hz / centreHz) / Math.asinh(1 / (2 * q))) ** 2);
      }, 0);
      return 88 + butterworth(hz, 45, 4) + features;
    });
    const bells = bellsOf(levels);
    expectPlanted(bells);
    expect(bells.every(({ shape }) => shape === 'gaussian')).toBe(true);
  });

  it('nothing in noise alone', () => {
    const noise = gaussianNumbers(8);
    expect(bellsOf(HZ.map((hz) => 88 + butterworth(hz, 45, 4) + 0.3 * noise())).length).toBeLessThanOrEqual(
      1,
    );
  });
});

describe('responseData', () => {
  it('leaves out what has fallen 15 dB, at both ends of a subwoofer', () => {
    const data = responseData(
      HZ,
      HZ.map((hz) => 90 + butterworth(hz, 28, 4) - 10 * Math.log10(1 + (hz / 120) ** 8)),
    );
    const ends = data && [data.hz[0], data.hz[data.hz.length - 1]];
    // Fourth order: 15 dB down at a factor of (10^1.5 - 1)^(1/8) = 1.533 from the corner.
    expect(Math.abs(Math.log2((ends?.[0] ?? 0) / (28 / 1.533)))).toBeLessThan(0.2);
    expect(Math.abs(Math.log2((ends?.[1] ?? 0) / (120 * 1.533)))).toBeLessThan(0.2);
  });

  it('is undefined for too few points', () => {
    expect(
      responseData(
        HZ.slice(100, 115),
        Array.from({ length: 15 }, () => 80),
      ),
    ).toBeUndefined();
  });
});
