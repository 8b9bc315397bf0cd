import { describe, expect, it } from 'vitest';
import { prepareDirectivity } from '../orbits/prepareDirectivity.js';
import type { Directivity } from '../orbits/directivity.js';
import type { AngleResponse, Conditions } from '../series.js';
import { emptySet } from '../testing/emptySet.js';
import { measuredLoudspeaker, usualRig } from '../testing/measuredLoudspeaker.js';
import { orbitsOf } from '../testing/orbitsOf.js';
import { pistonPattern } from '../testing/pistonPattern.js';
import { compareWithAxis } from './compareWithAxis.js';
import { directivityMap } from './directivityMap.js';
import { earHeightWindowCm } from './earHeightWindowCm.js';
import { horizontalCoverage } from './horizontalCoverage.js';
import { levelsAtAngle } from './levelsAtAngle.js';
import { seatOffsetM } from './seatOffsetM.js';
import { verticalCoverage } from './verticalCoverage.js';

const frequencyHz = Float64Array.from({ length: 121 }, (_, k) => 20 * 10 ** (k / 40));

function prepared(angles: readonly AngleResponse[], conditions: Conditions = {}): Directivity {
  const directivity = prepareDirectivity(emptySet({ angles, conditions }));
  if (directivity === undefined) throw new Error('no directivity');
  return directivity;
}

function decibels(pressure: number): number {
  return 20 * Math.log10(Math.max(1e-6, Math.abs(pressure)));
}

describe('horizontalCoverage', () => {
  it('of a dipole is 60 degrees at every frequency, of a monopole 180', () => {
    // cos 60 deg = 1/2 is 6.02 dB down, by hand.
    const dipole = orbitsOf(frequencyHz, (_, angle) => 90 + decibels(Math.cos((angle * Math.PI) / 180)));
    const found = horizontalCoverage(prepared(dipole));
    for (const angle of found?.coverageDeg.left ?? []) expect(angle).toBeCloseTo(60, 0);
    expect(found?.summaryDeg).toBeCloseTo(60, 0);
    const monopole = horizontalCoverage(prepared(orbitsOf(frequencyHz, () => 90)));
    expect(monopole?.summaryDeg).toBe(180);
  });

  it('of a piston agrees with the angle solved from its pattern', () => {
    // 2 J1(x)/x = 1/2 at x = 2.2151 (Kinsler et al.: the half-pressure angle), so sin angle = 2.2151/ka.
    const radiusM = 0.05;
    const ka = (hz: number): number => (2 * Math.PI * hz * radiusM) / 343;
    const piston = orbitsOf(frequencyHz, (_, angle, hz) =>
      Math.abs(angle) <= 90 ? 90 + decibels(pistonPattern(ka(hz), angle)) : 20,
    );
    const { coverageDeg } = horizontalCoverage(prepared(piston)) ?? { coverageDeg: undefined };
    coverageDeg?.frequencyHz.forEach((hz, at) => {
      if (ka(hz) < 3 || ka(hz) > 7) return;
      const exact = (Math.asin(2.2151 / ka(hz)) * 180) / Math.PI;
      // Linear in dB between readings 10 degrees apart of a curve bent downwards: up to 1 degree here, more in
      // narrower beams.
      expect(Math.abs(coverageDeg.right[at] - exact)).toBeLessThan(1);
    });
  });

  it('tells the sides apart: positive angles are on the right', () => {
    const skewed = orbitsOf(frequencyHz, (_, angle) => 90 - Math.abs(angle) * (angle > 0 ? 0.2 : 0.1));
    const found = horizontalCoverage(prepared(skewed));
    // 6 dB at 0.2 dB per degree is 30 degrees, at 0.1 it is 60.
    expect(found?.coverageDeg.right[50]).toBeCloseTo(30, 9);
    expect(found?.coverageDeg.left[50]).toBeCloseTo(60, 9);
    expect(found?.summaryDeg).toBeCloseTo(45, 9);
  });

  it('needs both sides, or the word that the cabinet is symmetric', () => {
    const half = orbitsOf(frequencyHz, (_, angle) => 90 - Math.abs(angle) * 0.2).filter(
      ({ orbit, angleDeg }) => orbit === 'horizontal' && angleDeg >= 0,
    );
    expect(horizontalCoverage(prepared(half))).toBeUndefined();
    const mirrored = prepared(half, { mirrorHorizontal: true });
    expect(horizontalCoverage(mirrored)?.summaryDeg).toBeCloseTo(30, 9);
    expect(directivityMap(mirrored, 'horizontal')?.angleDeg[0]).toBe(0);
  });

  it('claims nothing across a gap of more than 20 degrees', () => {
    const sparse = orbitsOf(frequencyHz, (_, angle) => 90 - Math.abs(angle) * 0.1).filter(
      ({ angleDeg }) => Math.abs(angleDeg) !== 40 && Math.abs(angleDeg) !== 50,
    );
    expect(horizontalCoverage(prepared(sparse))).toBeUndefined();
  });
});

describe('verticalCoverage', () => {
  it('finds the nulls of two drivers where their path difference is half a wave', () => {
    // Two equal in-phase sources d apart cancel where d sin(angle) = c / (2 f): 343/(2 x 0.2 x sin 30) = 1715 Hz.
    const spacingM = 0.2;
    const lobed = orbitsOf(frequencyHz, (orbit, angle, hz) => {
      const sine = orbit === 'vertical' ? Math.sin((angle * Math.PI) / 180) : 0;
      // Second driver fades in and out around a crossover, as two real ones do.
      const share = 1 / (1 + (2 * Math.log2(hz / 1715)) ** 4);
      const phase = (2 * Math.PI * hz * spacingM * sine) / 343;
      return 90 + decibels(Math.hypot(1 + share * Math.cos(phase), share * Math.sin(phase)) / (1 + share));
    });
    const found = verticalCoverage(prepared(lobed));
    const at30 = found?.nulls.filter(({ angleDeg }) => Math.abs(angleDeg) === 30) ?? [];
    expect(new Set(at30.map(({ angleDeg }) => angleDeg))).toEqual(new Set([-30, 30]));
    for (const hole of at30) {
      expect(Math.abs(Math.log2(hole.frequencyHz / 1715))).toBeLessThan(1 / 12);
      expect(hole.depthDb).toBeGreaterThan(15);
    }
  });

  it('finds no null in a smooth orbit, however much it falls', () => {
    const smooth = orbitsOf(
      frequencyHz,
      (_, angle, hz) => 90 - Math.abs(angle) * 0.1 * Math.log2(1 + hz / 500),
    );
    expect(verticalCoverage(prepared(smooth))?.nulls).toEqual([]);
  });

  it('ends the usable window where the first band has lost 3 dB', () => {
    // Only the 2 kHz third (1778-2239 Hz) falls: 3 dB at 0.2 dB per degree is 15 degrees, at 0.4 it is 7.5.
    const falling = orbitsOf(frequencyHz, (_, angle, hz) =>
      hz > 1650 && hz < 2300 ? 90 - Math.abs(angle) * (angle > 0 ? 0.2 : 0.4) : 90,
    );
    const window = verticalCoverage(prepared(falling))?.usableWindowDeg;
    expect(window?.up).toBeCloseTo(15, 6);
    expect(window?.down).toBeCloseTo(7.5, 6);
    expect(verticalCoverage(prepared(orbitsOf(frequencyHz, () => 90)))?.usableWindowDeg).toEqual({
      up: 90,
      down: 90,
    });
  });

  it('sees the crossover of a modelled two-way as nulls up and down near its frequency', () => {
    const set = measuredLoudspeaker({}, usualRig);
    const found = verticalCoverage(prepared(set.angles));
    const near = (found?.nulls ?? []).filter(({ frequencyHz: hz }) => hz > 1200 && hz < 4000);
    expect(near.some(({ angleDeg }) => angleDeg > 0)).toBe(true);
    expect(near.some(({ angleDeg }) => angleDeg < 0)).toBe(true);
  });
});

describe('seats', () => {
  it('turns degrees into metres and centimetres', () => {
    // tan 45 = 1; 3 m x tan 10 = 0.529 m, by hand.
    expect(seatOffsetM(3, 45)).toBeCloseTo(3, 12);
    expect(seatOffsetM(3, 90)).toBeUndefined();
    expect(earHeightWindowCm({ up: 10, down: 90 }, 3)).toEqual({ up: expect.closeTo(52.898, 2) as number });
  });
});

describe('compareWithAxis', () => {
  const angles = orbitsOf(frequencyHz, (_, angle) => 90 - Math.abs(angle) * 0.1);
  const map = directivityMap(prepared(angles), 'horizontal');
  if (map === undefined) throw new Error('no map');

  it('gives the difference at a measured and at an interpolated angle', () => {
    expect(compareWithAxis(map, 30)?.differenceDb[10]).toBeCloseTo(-3, 3);
    expect(compareWithAxis(map, -25)?.differenceDb[10]).toBeCloseTo(-2.5, 3);
    expect(compareWithAxis(map, 30)?.onAxisDb[10]).toBeCloseTo(90, 3);
  });

  it('closes the circle behind', () => {
    expect(levelsAtAngle(map, -175)?.[0]).toBeCloseTo(90 - 17.5, 3);
    expect(levelsAtAngle(map, 175)?.[0]).toBeCloseTo(90 - 17.5, 3);
  });

  it('claims nothing where readings are too far apart', () => {
    const few = { ...map, angleDeg: [0, 30], levelDb: [map.levelDb[17], map.levelDb[20]] };
    expect(compareWithAxis(few, 15)).toBeUndefined();
    expect(compareWithAxis(few, 30)?.angleDeg).toBe(30);
    expect(levelsAtAngle(few, -30)).toBeUndefined();
  });
});
