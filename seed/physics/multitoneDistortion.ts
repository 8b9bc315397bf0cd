import { SPEED_OF_SOUND_M_PER_S } from './air.js';
import { driveFor, type AxisModel } from './axisModel.js';
import { excursionRatio } from './excursion.js';
import { harmonicDistortion } from './harmonicDistortion.js';

/**
 * What stands between the tones of a multitone, percent of the tones, per grid frequency: the harmonics of each
 * driver's own band, and the bass excursion that modulates everything the same cone plays, in loudness and by
 * the Doppler effect. `toneCount` tones spread evenly over the audible range share the level.
 */
export function multitoneDistortion(model: AxisModel, levelDb: number, toneCount = 31): Float64Array {
  const drive = driveFor(model, levelDb) / Math.sqrt(toneCount);
  const { frequencyHz } = model.grid;
  const harmonics = harmonicDistortion(model, levelDb);
  const moved = model.sources.map(({ driver, cone }) => {
    const squares = frequencyHz.map((hz, bin) => excursionRatio(driver.motor, hz, cone[bin] * drive) ** 2);
    return Math.sqrt((squares.reduce((sum, square) => sum + square, 0) / squares.length) * toneCount);
  });
  return harmonics.thdPercent.map((thd, bin) => {
    let modulated = 0;
    let weight = 0;
    model.sources.forEach(({ driver, cone }, index) => {
      const excursionM = ((moved[index] ?? 0) * driver.motor.limitMm) / 1000;
      const dopplerPercent = (100 * 2 * Math.PI * frequencyHz[bin] * excursionM) / SPEED_OF_SOUND_M_PER_S;
      const power = cone[bin] ** 2;
      modulated += power * ((3 * (moved[index] ?? 0)) ** 2 + (0.2 * dopplerPercent) ** 2);
      weight += power;
    });
    return Math.hypot(0.6 * thd, Math.sqrt(modulated / weight));
  });
}
