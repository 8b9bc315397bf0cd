import { describe, expect, it } from 'vitest';
import { unitDesigns } from '../units/index.js';
import { axisModel, driveFor } from './axisModel.js';
import { compressedResponse } from './compressedResponse.js';
import { excursionRatio } from './excursion.js';
import { logarithmicGrid } from './frequencyGrid.js';
import { harmonicDistortion } from './harmonicDistortion.js';
import { multitoneDistortion } from './multitoneDistortion.js';

const grid = logarithmicGrid(20, 20000, 12);

function model(id: string) {
  const design = unitDesigns.find((candidate) => candidate.id === id);
  if (!design) throw new Error(`no design ${id}`);
  return axisModel(design.loudspeaker, grid);
}

const at = (values: Float64Array, hz: number) =>
  values[grid.frequencyHz.findIndex((frequency) => frequency >= hz * 0.999)] ?? Number.NaN;

describe('excursionRatio', () => {
  it('matches a worked case: 90 dB at 50 Hz from 133 cm2 with a 5 mm limit', () => {
    // p = 0.6325 Pa = rho f U gives U = 0.010506 m3/s; x = sqrt2 U / (2 pi 50 0.0133) = 3.556 mm.
    const motor = { areaM2: 0.0133, limitMm: 5, residualPercent: { second: 0, third: 0 }, heatLimitDb: 100 };
    expect(excursionRatio(motor, 50, 10 ** (90 / 20))).toBeCloseTo(3.556 / 5, 3);
  });

  it('quadruples per octave down', () => {
    const motor = { areaM2: 0.0133, limitMm: 5, residualPercent: { second: 0, third: 0 }, heatLimitDb: 100 };
    expect(excursionRatio(motor, 50, 1) / excursionRatio(motor, 100, 1)).toBeCloseTo(4, 9);
  });
});

describe('what grows with level', () => {
  it('distortion rises with level and towards the bass', () => {
    const soft = harmonicDistortion(model('sedge-3'), 86);
    const loud = harmonicDistortion(model('sedge-3'), 96);
    soft.thdPercent.forEach((thd, bin) => expect(loud.thdPercent[bin]).toBeGreaterThan(thd));
    expect(at(loud.thdPercent, 60)).toBeGreaterThan(5 * at(loud.thdPercent, 500));
    soft.thdPercent.forEach((thd, bin) => {
      expect(thd).toBeCloseTo(Math.hypot(soft.secondPercent[bin], soft.thirdPercent[bin]), 12);
    });
  });

  it('a horn with a large cone is cleaner in the bass than a small box', () => {
    const small = at(harmonicDistortion(model('sedge-5'), 96).thdPercent, 70);
    const large = at(harmonicDistortion(model('whin-15'), 96).thdPercent, 70);
    expect(large).toBeLessThan(small / 3);
  });

  it('compression is nothing at 76 dB and grows', () => {
    const sedge = model('sedge-5');
    const loss = [76, 86, 96, 102].map(
      (levelDb) =>
        levelDb -
        sedge.sensitivityDb +
        at(sedge.levelDb, 1000) -
        at(compressedResponse(sedge, levelDb), 1000),
    );
    expect(loss[0]).toBeLessThan(0.02);
    expect([...loss].sort((a, b) => a - b)).toEqual(loss);
    expect(loss[3]).toBeGreaterThan(0.4);
    expect(driveFor(sedge, sedge.sensitivityDb)).toBeCloseTo(1, 12);
  });

  it('a three-way spreads a multitone over more cones than a two-way', () => {
    const twoWay = at(multitoneDistortion(model('sedge-5'), 96), 1000);
    const threeWay = at(multitoneDistortion(model('fen-8'), 96), 1000);
    expect(threeWay).toBeLessThan(twoWay / 2);
  });
});
