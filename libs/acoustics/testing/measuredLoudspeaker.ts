import type { AngleResponse, MeasurementSet, Orbit } from '../series.js';
import { emptySet } from './emptySet.js';
import { gaussianNumbers } from './gaussianNumbers.js';
import { impedanceOf } from './impedanceOf.js';
import { type LoudspeakerModel, twoWay } from './loudspeakerModel.js';
import { radiatedPressure } from './radiatedPressure.js';

/** What a real rig adds. All zero is a perfect one. */
export interface RigImperfections {
  readonly seed: number;
  /** Standard deviation of each file's gain, dB. */
  readonly gainDb: number;
  /** Standard deviation of the turntable's stops, degrees. */
  readonly angleDeg: number;
  /** Pressure of one late reflection relative to the direct sound on axis. */
  readonly reflection: number;
  /** Noise per data point, dB SPL. */
  readonly noiseDb: number;
}

export const perfectRig: RigImperfections = { seed: 1, gainDb: 0, angleDeg: 0, reflection: 0, noiseDb: -100 };
export const usualRig: RigImperfections = {
  seed: 7,
  gainDb: 0.08,
  angleDeg: 0.4,
  reflection: 0.02,
  noiseDb: 25,
};

const ANGLES_DEG = Array.from({ length: 36 }, (_, k) => (k + 1) * 10 - 180);

/** A full measurement set of an invented two-way on a given rig: both orbits with phase, and impedance. */
export function measuredLoudspeaker(
  model: Partial<LoudspeakerModel> = {},
  rig: RigImperfections = perfectRig,
  points = 240,
): MeasurementSet {
  const frequencyHz = Float64Array.from({ length: points }, (_, k) => 20 * 1000 ** (k / (points - 1)));
  const normal = gaussianNumbers(rig.seed);
  const angles = (['horizontal', 'vertical'] as const).flatMap((orbit) =>
    ANGLES_DEG.map((angleDeg) =>
      measureAngle({ ...twoWay, ...model }, rig, normal, frequencyHz, orbit, angleDeg),
    ),
  );
  const impedance = impedanceOf(frequencyHz, {
    dcOhm: 5.8,
    inductanceMh: 0.25,
    resonances: [
      { hz: 30, q: 5, ohm: 20 },
      { hz: 80, q: 5, ohm: 28 },
    ],
  });
  return emptySet({ angles, impedance: [impedance], conditions: { distanceM: 1, driveVolts: 2.83 } });
}

function measureAngle(
  model: LoudspeakerModel,
  rig: RigImperfections,
  normal: () => number,
  frequencyHz: Float64Array,
  orbit: Orbit,
  nominalDeg: number,
): AngleResponse {
  const gain = 10 ** ((model.levelDb + rig.gainDb * normal()) / 20);
  const angleDeg = nominalDeg + rig.angleDeg * normal();
  const echoS = 0.006 + 0.001 * normal();
  const noise = 10 ** (rig.noiseDb / 20) / Math.SQRT2;
  const levelDb = new Float64Array(frequencyHz.length);
  const phaseDeg = new Float64Array(frequencyHz.length);
  frequencyHz.forEach((hz, at) => {
    const direct = radiatedPressure(model, orbit, angleDeg, hz);
    const echo = -2 * Math.PI * hz * echoS;
    const re = gain * (direct.re + rig.reflection * Math.cos(echo)) + noise * normal();
    const im = gain * (direct.im + rig.reflection * Math.sin(echo)) + noise * normal();
    levelDb[at] = 20 * Math.log10(Math.max(1e-6, Math.hypot(re, im)));
    phaseDeg[at] = (Math.atan2(im, re) * 180) / Math.PI;
  });
  const file = `${orbit[0]}${nominalDeg < 0 ? '-' : '+'}${String(Math.abs(nominalDeg)).padStart(3, '0')}.csv`;
  return {
    orbit,
    angleDeg: nominalDeg,
    frequencyHz,
    levelDb,
    phaseDeg,
    source: { file, sha256: `sha ${file}` },
  };
}
