import { driveFor, type AxisModel } from './axisModel.js';
import { magnitude } from './complex.js';
import { driverHarmonics, excursionRatio } from './excursion.js';

/** Harmonics on the reference axis at one level; percent of the fundamental, one value per grid frequency. */
export interface HarmonicDistortion {
  readonly levelDb: number;
  readonly thdPercent: Float64Array;
  readonly secondPercent: Float64Array;
  readonly thirdPercent: Float64Array;
}

/** Nothing is measured below this: microphone, amplifier and room set it. */
const FLOOR_PERCENT = 0.03;

/**
 * Each driver's harmonics are made after its filters, so they leave through its cone: a driver's own peaks lift
 * the harmonics that fall on them, and a driver the crossover has turned down adds little.
 */
export function harmonicDistortion(model: AxisModel, levelDb: number): HarmonicDistortion {
  const drive = driveFor(model, levelDb);
  const { frequencyHz } = model.grid;
  const secondPercent = new Float64Array(frequencyHz.length).fill(FLOOR_PERCENT);
  const thirdPercent = new Float64Array(frequencyHz.length).fill(FLOOR_PERCENT / 2);
  for (const { driver, cone, ownGain } of model.sources) {
    frequencyHz.forEach((hz, bin) => {
      const ratio = excursionRatio(driver.motor, hz, cone[bin] * drive);
      const made = driverHarmonics(driver.motor, ratio, levelDb);
      const total = Math.hypot(model.pressure.re[bin], model.pressure.im[bin]);
      const share = Math.min(1, cone[bin] / (2 * total)) / magnitude(ownGain(hz));
      secondPercent[bin] = Math.hypot(secondPercent[bin], made.second * share * magnitude(ownGain(2 * hz)));
      thirdPercent[bin] = Math.hypot(thirdPercent[bin], made.third * share * magnitude(ownGain(3 * hz)));
    });
  }
  const thdPercent = secondPercent.map((second, bin) => Math.hypot(second, thirdPercent[bin]));
  return { levelDb, thdPercent, secondPercent, thirdPercent };
}
