import type { ImpedanceSeries } from '../series.js';
import { gaussianNumbers } from './gaussianNumbers.js';

/** A parallel resonance in series with the coil: `ohm` at its peak. */
export interface Resonance {
  readonly hz: number;
  readonly q: number;
  readonly ohm: number;
}

export interface ImpedanceModel {
  readonly dcOhm: number;
  readonly inductanceMh: number;
  readonly resonances: readonly Resonance[];
  /** Relative standard deviation of each reading. */
  readonly noise?: number;
  readonly seed?: number;
}

/** |Z| and phase of a coil with its inductance and any number of resonances. */
export function impedanceOf(frequencyHz: Float64Array, model: ImpedanceModel): ImpedanceSeries {
  const normal = gaussianNumbers(model.seed ?? 1);
  const noise = model.noise ?? 0;
  const magnitudeOhm = new Float64Array(frequencyHz.length);
  const phaseDeg = new Float64Array(frequencyHz.length);
  frequencyHz.forEach((hz, at) => {
    let real = model.dcOhm;
    let imaginary = (2 * Math.PI * hz * model.inductanceMh) / 1000;
    for (const { hz: centre, q, ohm } of model.resonances) {
      const detuning = q * (hz / centre - centre / hz);
      real += ohm / (1 + detuning ** 2);
      imaginary -= (ohm * detuning) / (1 + detuning ** 2);
    }
    magnitudeOhm[at] = Math.hypot(real, imaginary) * (1 + noise * normal());
    phaseDeg[at] = ((Math.atan2(imaginary, real) + noise * normal()) * 180) / Math.PI;
  });
  return { frequencyHz, magnitudeOhm, phaseDeg, source: { file: 'impedance.csv', sha256: 'impedance' } };
}
