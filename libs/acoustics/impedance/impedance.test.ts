import { describe, expect, it } from 'vitest';
import type { ImpedanceSeries } from '../series.js';
import { impedanceOf, type Resonance } from '../testing/impedanceOf.js';
import { amplifierAdvice } from './amplifierAdvice.js';
import { analyseImpedance } from './analyseImpedance.js';
import { epdrOhm } from './epdrOhm.js';
import { ratedImpedanceOhm } from './ratedImpedanceOhm.js';

/** Peak dissipation of an ideal class-B stage with unit rails, searched on a grid. */
function peakDissipation(phaseDeg: number): number {
  const phase = (phaseDeg * Math.PI) / 180;
  let peak = 0;
  // The device conducts while the current is positive: t from phi to phi + pi.
  for (let n = 0; n <= 200_000; n += 1) {
    const t = phase + (Math.PI * n) / 200_000;
    peak = Math.max(peak, (1 - Math.sin(t)) * Math.sin(t - phase));
  }
  return peak;
}

describe('epdrOhm', () => {
  // Derived from the dissipation of an ideal class-B stage.
  it.each([
    [0, 1],
    [10, 0.753331],
    [20, 0.587004],
    [30, 0.47066],
    [40, 0.386793],
    [45, 0.353553],
    [50, 0.324816],
    [60, 0.278066],
    [70, 0.242207],
    [80, 0.214333],
    [90, 0.19245],
  ])('at %i degrees is %f of |Z|, as a grid search finds', (phaseDeg, share) => {
    expect(epdrOhm(1, phaseDeg)).toBeCloseTo(share, 6);
    expect(epdrOhm(8, -phaseDeg)).toBeCloseTo(8 * share, 5);
    // A resistor R peaks at 1/(4R) with unit rails.
    expect(1 / (4 * peakDissipation(phaseDeg))).toBeCloseTo(share, 6);
  });
});

describe('ratedImpedanceOhm', () => {
  // IEC 60268-5: no |Z| in the rated band below 80 % of the rated impedance.
  it.each([
    [3.2, 4],
    [3.19, 3],
    [6.4, 8],
    [6.39, 6],
    [4.8, 6],
    [12.8, 16],
    [1.6, 2],
    [0.6, 0.75],
  ])('of a minimum of %f ohm is %f ohm', (minimumOhm, rated) => {
    expect(ratedImpedanceOhm(minimumOhm)).toBeCloseTo(rated, 12);
  });
});

describe('amplifierAdvice', () => {
  it('asks for 4 ohm near a minimum of 3 and names the figures', () => {
    const advice = amplifierAdvice({
      minimumOhm: 3.1,
      minimumHz: 180,
      epdrMinimumOhm: 1.6,
      epdrMinimumHz: 110,
    });
    expect(advice).toContain('3.1 ohm at 180 Hz');
    expect(advice).toContain('rated into 4 ohm');
    expect(advice).toContain('1.6 ohm resistor');
    expect(advice).toContain('current in reserve');
  });

  it("says when the maker's rating is not met", () => {
    const advice = amplifierAdvice({ minimumOhm: 4.1, minimumHz: 2400, statedOhm: 8 });
    expect(advice).toContain('The maker states 8.0 ohm');
    expect(advice).toContain('6.4 ohm');
    expect(amplifierAdvice({ minimumOhm: 6.5, minimumHz: 200, statedOhm: 8 })).not.toContain('maker');
  });
});

describe('analyseImpedance', () => {
  const frequencyHz = Float64Array.from({ length: 1000 }, (_, k) => 10 * 4000 ** (k / 999));
  const box: Resonance[] = [
    { hz: 28, q: 6, ohm: 22 },
    { hz: 74, q: 5, ohm: 30 },
    { hz: 1800, q: 1.1, ohm: 9 }, // crossover
  ];

  it('reads the minimum, its phase and the hardest load from the data points', () => {
    const series = impedanceOf(frequencyHz, { dcOhm: 3.4, inductanceMh: 0.2, resonances: box });
    const found = analyseImpedance(series);
    const inBand = Array.from(series.magnitudeOhm).filter(
      (_, at) => frequencyHz[at] >= 20 && frequencyHz[at] <= 20_000,
    );
    expect(found?.minimumOhm).toBe(Math.min(...inBand));
    const at = series.magnitudeOhm.indexOf(found?.minimumOhm ?? NaN);
    expect(found?.phaseAtMinimumDeg).toBe(series.phaseDeg?.[at]);
    const epdr = inBand.map((_, k) => {
      const index = frequencyHz.findIndex((hz) => hz >= 20) + k;
      return epdrOhm(series.magnitudeOhm[index], series.phaseDeg?.[index] ?? 0);
    });
    expect(found?.epdrMinimumOhm).toBeCloseTo(Math.min(...epdr), 12);
    expect(found?.ratedOhm).toBe(4);
    expect(found?.frequencyHz.length).toBe(found?.epdrOhm?.length);
  });

  it('finds planted wrinkles and none in the smooth curve', () => {
    const smooth = impedanceOf(frequencyHz, { dcOhm: 5.6, inductanceMh: 0.3, resonances: box });
    expect(analyseImpedance(smooth)?.wrinkles).toEqual([]);
    const planted = [
      { hz: 240, q: 25, ohm: 0.5 },
      { hz: 610, q: 30, ohm: 0.35 },
    ];
    const wrinkled = impedanceOf(frequencyHz, {
      dcOhm: 5.6,
      inductanceMh: 0.3,
      resonances: [...box, ...planted],
    });
    const found = analyseImpedance(wrinkled)?.wrinkles ?? [];
    expect(found).toHaveLength(2);
    planted.forEach(({ hz }, k) => {
      expect(Math.abs(Math.log2(found[k].frequencyHz / hz))).toBeLessThan(1 / 24);
      expect(found[k].strength).toBeGreaterThan(2);
      expect(found[k].strength).toBeLessThan(10);
    });
  });

  it('is not fooled by measurement noise', () => {
    const noisy = impedanceOf(frequencyHz, {
      dcOhm: 5.6,
      inductanceMh: 0.3,
      resonances: box,
      noise: 0.004,
      seed: 5,
    });
    expect(analyseImpedance(noisy)?.wrinkles).toEqual([]);
  });

  it('finds wrinkles in |Z| alone when there is no phase, and then gives no EPDR', () => {
    const planted = [{ hz: 400, q: 25, ohm: 0.5 }];
    const { phaseDeg: _, ...magnitudeOnly } = impedanceOf(frequencyHz, {
      dcOhm: 5.6,
      inductanceMh: 0.3,
      resonances: [...box, ...planted],
    });
    const found = analyseImpedance(magnitudeOnly);
    expect(found?.wrinkles).toHaveLength(1);
    expect(Object.keys(found ?? {})).not.toContain('epdrMinimumOhm');
    expect(Object.keys(found ?? {})).not.toContain('epdrOhm');
  });

  it('leaves unphysical readings out and gives up when nothing else is there', () => {
    const good = impedanceOf(frequencyHz, { dcOhm: 5.6, inductanceMh: 0.3, resonances: box });
    const spoilt: ImpedanceSeries = {
      ...good,
      magnitudeOhm: good.magnitudeOhm.map((ohm, at) => (at % 50 === 0 ? -1 : ohm)),
    };
    expect(analyseImpedance(spoilt)?.minimumOhm).toBeGreaterThan(5);
    expect(analyseImpedance({ ...good, magnitudeOhm: good.magnitudeOhm.map(() => -4) })).toBeUndefined();
  });
});
