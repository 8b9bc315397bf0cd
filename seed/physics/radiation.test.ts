import { describe, expect, it } from 'vitest';
import type { Orbit } from '../../libs/acoustics/series.js';
import { SPEED_OF_SOUND_M_PER_S } from './air.js';
import { cabinetLitFraction, edgeSum, litFraction } from './edgeDiffraction.js';
import { fourierGrid, logarithmicGrid, type FrequencyGrid } from './frequencyGrid.js';
import type { Driver, Loudspeaker, Mounting } from './loudspeaker.js';
import { levelsDb, prepare, pressureAt } from './radiation.js';

const grid = logarithmicGrid(20, 20000, 24);

function driver(y: number, more: Partial<Driver> = {}): Driver {
  return {
    name: 'test source',
    position: { x: 0, y, z: 0 },
    shape: { shape: 'circular', radiusM: 0.005 },
    halfSpaceDb: 90,
    filters: [],
    motor: { areaM2: 0.01, limitMm: 5, residualPercent: { second: 0.1, third: 0.1 }, heatLimitDb: 105 },
    ...more,
  };
}

function unit(mounting: Mounting, drivers: readonly Driver[], side = 0.15): Loudspeaker {
  return {
    mounting,
    baffle: { left: -side, right: side, top: side, bottom: -side },
    depthM: 0.25,
    edgeRadiusM: 0,
    drivers,
    panels: [],
    voicing: [],
  };
}

function at(loudspeaker: Loudspeaker, orbit: Orbit, angleDeg: number, on: FrequencyGrid, distanceM = 100) {
  const levels = levelsDb(pressureAt(prepare(loudspeaker, on), { orbit, angleDeg, distanceM }));
  return levels.map((level) => level + 20 * Math.log10(distanceM));
}

const oneFrequency = (hz: number): FrequencyGrid => ({ frequencyHz: Float64Array.of(hz) });

describe('a source in a large wall', () => {
  it('gives its half-space level, 6.02 dB less at twice the distance', () => {
    const wall = unit('wall', [driver(0)]);
    expect(at(wall, 'horizontal', 0, oneFrequency(1000), 1)[0]).toBeCloseTo(90, 9);
    const far = levelsDb(
      pressureAt(prepare(wall, oneFrequency(1000)), { orbit: 'horizontal', angleDeg: 0, distanceM: 2 }),
    );
    expect(far[0]).toBeCloseTo(90 - 6.0206, 4);
  });

  it('two sources in phase cancel where their paths differ by half a wave length', () => {
    // Two-source interference: sin(angle) = wave length / (2 spacing), any acoustics text.
    const spacingM = 0.3;
    const angleDeg = 30;
    const nullHz = SPEED_OF_SOUND_M_PER_S / (2 * spacingM * Math.sin((angleDeg * Math.PI) / 180));
    const pair = unit('wall', [driver(0.15), driver(-0.15)]);
    expect(at(pair, 'vertical', angleDeg, oneFrequency(nullHz))[0]).toBeLessThan(90 - 45);
    expect(at(pair, 'vertical', 0, oneFrequency(nullHz))[0]).toBeCloseTo(96.02, 2);
    expect(at(pair, 'horizontal', angleDeg, oneFrequency(nullHz))[0]).toBeCloseTo(96.02, 1);
  });

  it('a Linkwitz-Riley pair at one place sums flat', () => {
    const pair = unit('wall', [
      driver(0, { filters: [{ kind: 'linkwitz-riley', pass: 'lowpass', order: 4, hz: 2300 }] }),
      driver(0, { filters: [{ kind: 'linkwitz-riley', pass: 'highpass', order: 4, hz: 2300 }] }),
    ]);
    for (const level of at(pair, 'horizontal', 0, grid, 1)) expect(level).toBeCloseTo(90, 6);
  });

  it('a spaced Linkwitz-Riley pair is flat on axis and has its hole where the formula says', () => {
    const spacingM = 0.16;
    const crossoverHz = 2300;
    const pair = unit('wall', [
      driver(-spacingM / 2, {
        filters: [{ kind: 'linkwitz-riley', pass: 'lowpass', order: 4, hz: crossoverHz }],
      }),
      driver(spacingM / 2, {
        filters: [{ kind: 'linkwitz-riley', pass: 'highpass', order: 4, hz: crossoverHz }],
      }),
    ]);
    const nullDeg = (Math.asin(SPEED_OF_SOUND_M_PER_S / (2 * crossoverHz * spacingM)) * 180) / Math.PI;
    for (const level of at(pair, 'vertical', 0, grid)) expect(level).toBeCloseTo(90, 3);
    for (const side of [1, -1]) {
      expect(at(pair, 'vertical', side * nullDeg, oneFrequency(crossoverHz))[0]).toBeLessThan(60);
    }
  });
});

describe('a source in a cabinet', () => {
  it('radiates into the full space at low frequency: 6.02 dB under the half space, all around', () => {
    const small = unit('cabinet', [driver(0)]);
    for (const angleDeg of [0, 60, 90, 130, 180]) {
      expect(at(small, 'horizontal', angleDeg, oneFrequency(5))[0]).toBeCloseTo(90 - 6.0206, 1);
    }
  });

  it('is back at its half-space level on axis at high frequency, with the edge as a ripple about it', () => {
    const levels = at(unit('cabinet', [driver(0.03)]), 'horizontal', 0, logarithmicGrid(2000, 20000, 96));
    const mean = levels.reduce((sum, level) => sum + level, 0) / levels.length;
    expect(mean).toBeGreaterThan(89.4);
    expect(mean).toBeLessThan(90.6);
    expect(Math.max(...levels) - Math.min(...levels)).toBeGreaterThan(0.5);
  });

  it('never sends more behind than in front above the size of the cabinet', () => {
    const box = unit('cabinet', [driver(0)]);
    const front = at(box, 'horizontal', 0, grid);
    const back = at(box, 'horizontal', 180, grid);
    const ahead = front.map((level, bin) => level - back[bin]);
    expect(Math.min(...ahead.filter((_, bin) => grid.frequencyHz[bin] > 700))).toBeGreaterThan(4);
  });
});

describe('edgeSum', () => {
  it('for a disc-like delay is one delayed copy, and 1 in the mean at low frequency', () => {
    const box = { left: -0.15, right: 0.15, top: 0.15, bottom: -0.15 };
    const origin = { x: 0, y: 0, z: 0 };
    const far = { x: 0, y: 0, z: 1000 };
    const sum = edgeSum(box, origin, far, grid);
    // Independent: the mean of exp(-j k d) over azimuth with d = half side / cos(azimuth), by symmetry 0..45 deg.
    for (const bin of [0, 60, 120, 180, 220]) {
      const k = (2 * Math.PI * grid.frequencyHz[bin]) / SPEED_OF_SOUND_M_PER_S;
      let re = 0;
      let im = 0;
      const points = 2000;
      for (let n = 0; n < points; n++) {
        const distance = 0.15 / Math.cos(((n + 0.5) * Math.PI) / 4 / points);
        re += Math.cos(k * distance) / points;
        im -= Math.sin(k * distance) / points;
      }
      expect(Math.abs(sum.across.re[bin] + sum.up.re[bin] - re)).toBeLessThan(0.03);
      expect(Math.abs(sum.across.im[bin] + sum.up.im[bin] - im)).toBeLessThan(0.03);
    }
    expect(Math.hypot(sum.across.re[0] + sum.up.re[0], sum.across.im[0] + sum.up.im[0])).toBeCloseTo(1, 3);
    expect(sum.reachM).toBeCloseTo((0.15 * Math.log(1 + Math.SQRT2) * 4) / Math.PI, 3);
  });

  it('steps an even grid to the same values as a free one', () => {
    const box = { left: -0.1, right: 0.1, top: 0.08, bottom: -0.3 };
    const even = fourierGrid(48000, 4096);
    const mouth = { x: 0.4, y: 0, z: 0.9 };
    const stepped = edgeSum(box, { x: 0, y: -0.1, z: 0 }, mouth, even);
    const free = edgeSum(box, { x: 0, y: -0.1, z: 0 }, mouth, { frequencyHz: even.frequencyHz });
    for (const bin of [0, 500, 1000, 2047]) {
      expect(stepped.across.re[bin]).toBeCloseTo(free.across.re[bin], 9);
      expect(stepped.up.im[bin]).toBeCloseTo(free.up.im[bin], 9);
    }
  });

  it('lights the front, half of the plane and nothing behind', () => {
    for (const k of [0.001, 1, 20, 300]) {
      expect(litFraction(1, k, 0.2)).toBeCloseTo(1, 12);
      expect(litFraction(0, k, 0.2)).toBeCloseTo(0.5, 12);
      expect(litFraction(-1, k, 0.2)).toBeCloseTo(0, 12);
      expect(cabinetLitFraction(1, 300, 0.2)).toBeCloseTo(1, 3);
    }
    expect(cabinetLitFraction(-1, 0.001, 0.2)).toBeCloseTo(0.5, 6);
  });
});

describe('an open panel', () => {
  it('is a figure of eight at low frequency and silent in its plane at any', () => {
    const panel = unit('open', [driver(0)]);
    const axis = at(panel, 'horizontal', 0, oneFrequency(0.2))[0];
    expect(at(panel, 'horizontal', 60, oneFrequency(0.2))[0] - axis).toBeCloseTo(-6.02, 1);
    expect(at(panel, 'horizontal', 180, oneFrequency(0.2))[0]).toBeCloseTo(axis, 6);
    for (const hz of [50, 500, 5000]) {
      expect(at(panel, 'horizontal', 90, oneFrequency(hz))[0]).toBeLessThan(0);
    }
  });

  it('falls 6 dB per octave below its size', () => {
    const panel = unit('open', [driver(0)]);
    const octave =
      at(panel, 'horizontal', 0, oneFrequency(40))[0] - at(panel, 'horizontal', 0, oneFrequency(20))[0];
    expect(octave).toBeCloseTo(6.02, 1);
  });
});
