import { driveFor, type AxisModel } from './axisModel.js';
import { decibels } from './complex.js';
import { excursionRatio } from './excursion.js';

/**
 * On-axis level at a nominal `levelDb`, dB SPL at 1 m, with what heating and a cone near its limit take away.
 *
 * A hot voice coil has more resistance and takes less power; its loss grows with the power it takes in, 1 dB at
 * the driver's heat limit. A cone near its limit meets a stiffer suspension and a weaker field.
 */
export function compressedResponse(model: AxisModel, levelDb: number): Float64Array {
  const drive = driveFor(model, levelDb);
  return model.levelDb.map((restDb, bin) => {
    const hz = model.grid.frequencyHz[bin];
    let weight = 0;
    let lossDb = 0;
    for (const { driver, cone } of model.sources) {
      const heat = 10 ** ((levelDb - driver.motor.heatLimitDb) / 10);
      const ratio = excursionRatio(driver.motor, hz, cone[bin] * drive);
      const power = cone[bin] ** 2;
      weight += power;
      lossDb += power * (heat / (1 + 0.15 * heat) + 6 * Math.log10(1 + 0.5 * ratio ** 2));
    }
    return restDb + decibels(drive) - lossDb / weight;
  });
}
