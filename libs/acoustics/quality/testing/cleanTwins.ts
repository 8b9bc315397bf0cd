import { measuredLoudspeaker, usualRig } from '../../testing/measuredLoudspeaker.js';
import type { MeasurementSet } from '../../series.js';

/** Sets without a fault, as different as honest measurements are. */
export function cleanTwins(): Record<string, MeasurementSet> {
  const gated = measuredLoudspeaker({}, { ...usualRig, seed: 5 });
  return {
    'two-way on a good rig': measuredLoudspeaker({}, usualRig),
    'tweeter 4 cm off centre': measuredLoudspeaker({ tweeterOffsetM: 0.04 }, { ...usualRig, seed: 2 }),
    'tweeter 3 cm off centre, rough rig': measuredLoudspeaker(
      { tweeterOffsetM: -0.03, bassCornerHz: 38 },
      { seed: 3, gainDb: 0.15, angleDeg: 0.8, reflection: 0.03, noiseDb: 35 },
    ),
    'tall, low crossover': measuredLoudspeaker(
      { spacingM: 0.32, crossoverHz: 1500, wooferRadiusM: 0.09, cabinetWidthM: 0.25, bassCornerHz: 31 },
      { ...usualRig, seed: 4 },
    ),
    dipole: measuredLoudspeaker(
      { rear: -1, cabinetWidthM: 0.35, bassCornerHz: 60 },
      { ...usualRig, seed: 6 },
    ),
    'gated, from 200 Hz': {
      ...gated,
      angles: gated.angles.map((angle) => {
        const keep = (_: number, at: number): boolean => angle.frequencyHz[at] >= 200;
        return {
          ...angle,
          frequencyHz: angle.frequencyHz.filter(keep),
          levelDb: angle.levelDb.filter(keep),
          phaseDeg: angle.phaseDeg?.filter(keep),
        };
      }),
    },
  };
}
