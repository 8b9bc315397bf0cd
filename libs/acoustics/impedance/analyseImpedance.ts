import type { Impedance } from '../analysis.js';
import { applyInterpolation } from '../grid/applyInterpolation.js';
import { interpolationPlan } from '../grid/interpolationPlan.js';
import { logGridHz } from '../grid/logGridHz.js';
import type { ImpedanceSeries } from '../series.js';
import { amplifierAdvice } from './amplifierAdvice.js';
import { epdrOhm } from './epdrOhm.js';
import { impedanceWrinkles } from './impedanceWrinkles.js';
import { isPhysicalImpedance } from './isPhysicalImpedance.js';
import { ratedImpedanceOhm } from './ratedImpedanceOhm.js';

/** Wrinkles are narrow: twice the common grid's density shows them. */
const FINER = 2;
const BAND_HZ = [20, 20_000] as const;

interface Readings {
  readonly frequencyHz: Float64Array;
  readonly magnitudeOhm: Float64Array;
  readonly phaseDeg?: Float64Array;
}

/**
 * What an impedance measurement says. Minima are read from the data's own points within 20 Hz - 20 kHz;
 * the curves are given on a log grid of 56 points per octave. Unphysical readings are left out (the
 * quality checks name them).
 *
 * @param statedOhm the maker's rated impedance, for the advice
 * @returns undefined when fewer than ten physical readings lie in the band
 */
export function analyseImpedance(series: ImpedanceSeries, statedOhm?: number): Impedance | undefined {
  const readings = physicalReadings(series);
  const count = readings.frequencyHz.length;
  if (count < 10) return undefined;
  const gridHz = logGridHz(readings.frequencyHz[0], readings.frequencyHz[count - 1], FINER);
  const plan = interpolationPlan(readings.frequencyHz, gridHz);
  const magnitudeOhm = applyInterpolation(plan, readings.magnitudeOhm);
  const phaseDeg = readings.phaseDeg && applyInterpolation(plan, readings.phaseDeg);
  const lows = minima(readings);
  return {
    ...lows,
    ratedOhm: ratedImpedanceOhm(lows.minimumOhm),
    frequencyHz: Array.from(gridHz),
    magnitudeOhm: Array.from(magnitudeOhm),
    ...(phaseDeg && {
      phaseDeg: Array.from(phaseDeg),
      epdrOhm: Array.from(magnitudeOhm, (ohm, at) => epdrOhm(ohm, phaseDeg[at])),
    }),
    wrinkles: impedanceWrinkles(gridHz, magnitudeOhm, phaseDeg),
    amplifierAdvice: amplifierAdvice({ ...lows, ...(statedOhm !== undefined && { statedOhm }) }),
  };
}

function physicalReadings({ frequencyHz, magnitudeOhm, phaseDeg }: ImpedanceSeries): Readings {
  const keep = (_: number, at: number): boolean =>
    frequencyHz[at] >= BAND_HZ[0] * 0.99 &&
    frequencyHz[at] <= BAND_HZ[1] * 1.01 &&
    isPhysicalImpedance(magnitudeOhm[at], phaseDeg?.[at]);
  return {
    frequencyHz: frequencyHz.filter(keep),
    magnitudeOhm: magnitudeOhm.filter(keep),
    ...(phaseDeg && { phaseDeg: phaseDeg.filter(keep) }),
  };
}

type Minima = Pick<
  Impedance,
  'minimumOhm' | 'minimumHz' | 'phaseAtMinimumDeg' | 'epdrMinimumOhm' | 'epdrMinimumHz'
>;

function minima({ frequencyHz, magnitudeOhm, phaseDeg }: Readings): Minima {
  const lowest = indexOfLowest(magnitudeOhm);
  const magnitude = { minimumOhm: magnitudeOhm[lowest], minimumHz: frequencyHz[lowest] };
  if (phaseDeg === undefined) return magnitude;
  const epdr = magnitudeOhm.map((ohm, at) => epdrOhm(ohm, phaseDeg[at]));
  const hardest = indexOfLowest(epdr);
  return {
    ...magnitude,
    phaseAtMinimumDeg: phaseDeg[lowest],
    epdrMinimumOhm: epdr[hardest],
    epdrMinimumHz: frequencyHz[hardest],
  };
}

function indexOfLowest(values: Float64Array): number {
  let lowest = 0;
  for (let at = 1; at < values.length; at += 1) if (values[at] < values[lowest]) lowest = at;
  return lowest;
}
