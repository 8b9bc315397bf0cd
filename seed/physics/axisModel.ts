import { fromDecibels, magnitude, type Spectrum } from './complex.js';
import { transferOf } from './filterParts.js';
import type { FrequencyGrid } from './frequencyGrid.js';
import type { Driver, Loudspeaker } from './loudspeaker.js';
import { levelsDb, prepare, pressureAt } from './radiation.js';
import { driverSources } from './sources.js';
import type { Transfer } from './transfer.js';

/** What a unit does on its reference axis at 1 m and 2.83 V: the ground for everything that depends on level. */
export interface AxisModel {
  readonly loudspeaker: Loudspeaker;
  readonly grid: FrequencyGrid;
  readonly pressure: Spectrum;
  readonly levelDb: Float64Array;
  /** Mean level in the band that stated levels refer to. */
  readonly sensitivityDb: number;
  readonly sources: readonly AxisSource[];
}

export interface AxisSource {
  readonly driver: Driver;
  /** Half-space pressure of the cone alone at 1 m, re 20 micropascal, for 2.83 V. */
  readonly cone: Float64Array;
  /** The cone's own resonances, through which its harmonics leave. */
  readonly ownGain: Transfer;
}

/** The band whose mean is called the sensitivity [common practice, no source]. */
export const MIDDLE_BAND_HZ: readonly [number, number] = [300, 3000];

const ONE_METRE_ON_AXIS = { orbit: 'horizontal', angleDeg: 0, distanceM: 1 } as const;

export function axisModel(
  loudspeaker: Loudspeaker,
  grid: FrequencyGrid,
  bandHz: readonly [number, number] = MIDDLE_BAND_HZ,
): AxisModel {
  const pressure = pressureAt(prepare(loudspeaker, grid), ONE_METRE_ON_AXIS);
  const levelDb = levelsDb(pressure);
  const inBand = levelDb.filter(
    (_, bin) => grid.frequencyHz[bin] >= bandHz[0] && grid.frequencyHz[bin] <= bandHz[1],
  );
  const sensitivityDb = inBand.reduce((sum, level) => sum + level, 0) / inBand.length;
  const voicing = transferOf(loudspeaker.voicing);
  const sources = loudspeaker.drivers.map((driver) => {
    const { cone, vent } = driverSources(driver, voicing);
    return {
      driver,
      cone: grid.frequencyHz.map((hz) => movingPart(magnitude(cone(hz)), magnitude(vent(hz)))),
      ownGain: transferOf(driver.cone ?? []),
    };
  });
  return { loudspeaker, grid, pressure, levelDb, sensitivityDb, sources };
}

/** At the vent's tuning the cone nearly rests, but losses and the vent's own turbulence keep some distortion. */
function movingPart(cone: number, vent: number): number {
  return Math.hypot(cone, 0.15 * vent);
}

/** Voltage relative to 2.83 V that gives `levelDb` at 1 m in the reference band. */
export function driveFor(model: AxisModel, levelDb: number): number {
  return fromDecibels(levelDb - model.sensitivityDb);
}
