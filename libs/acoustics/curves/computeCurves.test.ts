import { describe, expect, it } from 'vitest';
import type { AnalysisSettings, Curves } from '../analysis.js';
import { defaultSettings } from '../defaultSettings.js';
import { prepareDirectivity } from '../orbits/prepareDirectivity.js';
import { emptySet } from '../testing/emptySet.js';
import { orbitsOf } from '../testing/orbitsOf.js';
import { pistonPattern } from '../testing/pistonPattern.js';
import { besselJ1 } from '../testing/besselJ1.js';
import { computeCurves } from './computeCurves.js';

/** Pressure of a source of revolution, from the angle off its axis. */
type Pattern = (angleDeg: number) => number;

const frequencyHz = Float64Array.from({ length: 31 }, (_, k) => 20 * 10 ** (k / 10));

function decibels(pressure: number): number {
  return 20 * Math.log10(Math.max(1e-12, Math.abs(pressure)));
}

function curvesOf(pattern: Pattern, settings: Partial<AnalysisSettings> = {}): Curves {
  const angles = orbitsOf(frequencyHz, (_, angleDeg) => 90 + decibels(pattern(angleDeg)));
  const directivity = prepareDirectivity(emptySet({ angles }));
  if (directivity === undefined) throw new Error('no directivity');
  return computeCurves(directivity, { ...defaultSettings, ...settings });
}

function cosine(angleDeg: number): number {
  return Math.cos((angleDeg * Math.PI) / 180);
}

const cardioid: Pattern = (angleDeg) => (1 + cosine(angleDeg)) / 2;
const hypercardioid: Pattern = (angleDeg) => (1 + 3 * cosine(angleDeg)) / 4;
const inBaffle =
  (ka: number): Pattern =>
  (angleDeg) =>
    Math.abs(angleDeg) <= 90 ? pistonPattern(ka, angleDeg) : 0;

const FIVE_NINETEEN = { earlyReflections: 'five-group-mean', rearWall: 'nineteen' } as const;
const ALL_NINETEEN = { earlyReflections: 'all-curves-mean', rearWall: 'nineteen' } as const;
const FIVE_THREE = { earlyReflections: 'five-group-mean', rearWall: 'three' } as const;
const ALL_THREE = { earlyReflections: 'all-curves-mean', rearWall: 'three' } as const;

describe('computeCurves', () => {
  // Derived by hand from the definitions of ANSI/CTA-2034-A: dB re on axis, six decimals.
  it.each([
    ['cardioid', cardioid, -0.21683, [-2.065498, -3.653846, -1.92925, -1.763556], -4.672252, -2.694853],
    ['dipole', cosine, -0.433285, [-2.523925, -2.914204, -2.747568, -2.856107], -4.388222, -2.883068],
    [
      'piston ka 2',
      inBaffle(2),
      -0.400481,
      [-2.642556, -4.296758, -2.354293, -2.213999],
      -5.512354,
      -3.255743,
    ],
  ] as const)('gives the %s its exact averages in all four readings', (_, pattern, lw, er, sp, inRoom) => {
    const readings = [FIVE_NINETEEN, ALL_NINETEEN, FIVE_THREE, ALL_THREE].map((reading) =>
      curvesOf(pattern, reading),
    );
    const [usual] = readings;
    expect(usual?.onAxis?.[7]).toBeCloseTo(90, 9);
    expect(usual?.listeningWindow?.[7]).toBeCloseTo(90 + lw, 5);
    expect(usual?.soundPower?.[7]).toBeCloseTo(90 + sp, 5);
    expect(usual?.estimatedInRoom?.[7]).toBeCloseTo(90 + inRoom, 5);
    readings.forEach((curves, at) => expect(curves.earlyReflections?.[7]).toBeCloseTo(90 + (er[at] ?? 0), 5));
    expect(usual?.soundPowerDirectivityIndex?.[7]).toBeCloseTo(lw - sp, 5);
    expect(usual?.earlyReflectionsDirectivityIndex?.[7]).toBeCloseTo(lw - er[0], 5);
  });

  // Exact directivity indices: solid-angle integrals (monopole, cardioid, dipole, hypercardioid) and Beranek's
  // and Kinsler's closed form for the piston. Two orbits of 70 curves are biased; both values are derived.
  it.each([
    ['monopole', () => 1, 0, 0],
    ['cardioid', cardioid, 4.771213, 4.672252],
    ['dipole', cosine, 4.771213, 4.388222],
    ['hypercardioid', hypercardioid, 6.0206, 5.730237],
    ['piston ka 0.5', inBaffle(0.5), 3.191251, 2.861764],
    ['piston ka 1', inBaffle(1), 3.733772, 3.399795],
    ['piston ka 2', inBaffle(2), 5.879506, 5.512354],
    ['piston ka 5', inBaffle(5), 14.017325, 13.186514],
    ['piston ka 10', inBaffle(10), 20.029123, 18.928685],
  ] as const)(
    'gives the %s the directivity index of 70 curves, near the exact one',
    (_, pattern, exact, from70) => {
      const { onAxis, soundPower } = curvesOf(pattern);
      const index = (onAxis?.[3] ?? NaN) - (soundPower?.[3] ?? NaN);
      expect(index).toBeCloseTo(from70, 5);
      expect(exact - index).toBeGreaterThan(-1e-6);
      expect(exact - index).toBeLessThan(1.2);
    },
  );

  it('keeps the piston within its known bias of the closed form over ka 0.1 to 20', () => {
    // DI = 10 log10[(ka)^2 / (1 - J1(2ka)/ka)] (Beranek, Acoustics; Kinsler et al., Fundamentals of Acoustics).
    // At ka -> 0 the two-orbit method sees a half space whose 90 degree cells reach 5 degrees behind the
    // baffle: bias 10 log10(2 x share); at high ka the main lobe is narrower than the 10 degree step.
    const biases = Array.from({ length: 47 }, (_, k) => {
      const ka = 0.1 * 200 ** (k / 46);
      const exact = 10 * Math.log10(ka ** 2 / (1 - besselJ1(2 * ka) / ka));
      const { onAxis, soundPower } = curvesOf(inBaffle(ka));
      return { ka, bias: (onAxis?.[0] ?? NaN) - (soundPower?.[0] ?? NaN) - exact };
    });
    // Stated bias: -0.3 to -0.4 dB up to ka 2, growing to -1.1 dB at ka 10 and at most -2 dB at ka 20.
    for (const { ka, bias } of biases) {
      const most = ka <= 2 ? -0.3 : 0;
      const least = ka <= 2 ? -0.4 : ka <= 10.5 ? -1.2 : -2;
      expect(bias, `ka ${ka}`).toBeLessThan(most);
      expect(bias, `ka ${ka}`).toBeGreaterThan(least);
    }
  });

  it('leaves out exactly the curves whose members are missing', () => {
    const full = orbitsOf(frequencyHz, () => 90);
    const without = full.filter(({ orbit, angleDeg }) => !(orbit === 'vertical' && angleDeg === -30));
    const directivity = prepareDirectivity(emptySet({ angles: without }));
    if (directivity === undefined) throw new Error('no directivity');
    const names = Object.keys(computeCurves(directivity, defaultSettings)).sort();
    expect(names).toEqual(
      [
        'ceilingBounce',
        'frontWallBounce',
        'listeningWindow',
        'onAxis',
        'rearWallBounce',
        'sideWallBounce',
      ].sort(),
    );
  });

  it('normalises to 2.83 V at 1 m before averaging', () => {
    // 2 m to 1 m is +6.0206 dB (spherical spreading).
    const angles = orbitsOf(frequencyHz, () => 80);
    const directivity = prepareDirectivity(
      emptySet({ angles, conditions: { distanceM: 2, driveVolts: 2.83 } }),
    );
    if (directivity === undefined) throw new Error('no directivity');
    expect(computeCurves(directivity, defaultSettings).listeningWindow?.[5]).toBeCloseTo(86.0206, 4);
  });
});
