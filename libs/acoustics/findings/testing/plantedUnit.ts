import type { Curves } from '../../analysis.js';
import { computeCurves } from '../../curves/computeCurves.js';
import { prepareDirectivity } from '../../orbits/prepareDirectivity.js';
import { emptySet } from '../../testing/emptySet.js';
import { gaussianNumbers } from '../../testing/gaussianNumbers.js';
import { orbitsOf } from '../../testing/orbitsOf.js';
import { randomNumbers } from '../../testing/randomNumbers.js';

/** A feature with its on-axis size; `reach` says in which directions it is there. */
export interface PlantedFeature {
  readonly centreHz: number;
  readonly levelDb: number;
  readonly q: number;
  /** everywhere: a resonance; axis: fades within 15 degrees; moving: fades within 30 degrees and moves up. */
  readonly reach: 'everywhere' | 'axis' | 'moving';
}

export interface PlantedUnit {
  readonly features: readonly PlantedFeature[];
  readonly frequencyHz: readonly number[];
  readonly curves: Curves;
}

export interface PlantingOptions {
  readonly features: number;
  /** Least distance of neighbours, octaves. */
  readonly apartOctaves: number;
  readonly q: readonly [number, number];
  readonly levelDb: readonly [number, number];
  /** Standard deviation of each point of each of the 72 responses, dB. */
  readonly noiseDb: number;
  /** Share of features that are resonances. */
  readonly everywhere: number;
}

export const PLANTING: PlantingOptions = {
  features: 10,
  apartOctaves: 0.5,
  q: [1.4, 10],
  levelDb: [1.2, 6],
  noiseDb: 0.05,
  everywhere: 0.6,
};
const RANGE_HZ = [80, 14_000] as const;
const POINTS_PER_OCTAVE = 24;
const MOST_ATTEMPTS = 500;

/**
 * A loudspeaker of both orbits, made of a tilt, a vented or closed bass, a smoothly narrowing directivity and
 * planted features; all drawn from `seed`.
 */
export function plantedUnit(seed: number, options: PlantingOptions = PLANTING): PlantedUnit {
  const random = randomNumbers(seed);
  const noise = gaussianNumbers(seed + 1);
  const features = plantFeatures(random, options);
  const base = plantBase(random);
  const count = Math.floor(Math.log2(1000) * POINTS_PER_OCTAVE) + 1;
  const frequencyHz = Float64Array.from({ length: count }, (_, i) => 20 * 2 ** (i / POINTS_PER_OCTAVE));
  const angles = orbitsOf(frequencyHz, (_, angleDeg, hz) => {
    const planted = features.reduce((sum, feature) => sum + featureDb(feature, angleDeg, hz), 0);
    return base(angleDeg, hz) + planted + options.noiseDb * noise();
  });
  const directivity = prepareDirectivity(emptySet({ angles }));
  if (!directivity) throw new Error('a planted unit has both orbits');
  return {
    features,
    frequencyHz: Array.from(directivity.frequencyHz),
    curves: computeCurves(directivity, { earlyReflections: 'five-group-mean', rearWall: 'nineteen' }),
  };
}

function plantFeatures(random: () => number, options: PlantingOptions): readonly PlantedFeature[] {
  const between = ([from, to]: readonly [number, number]): number => from * (to / from) ** random();
  let features: PlantedFeature[] = [];
  let attempts = 0;
  while (features.length < options.features) {
    // The first ones may leave no room for the last.
    if (++attempts % MOST_ATTEMPTS === 0) features = [];
    const centreHz = between(RANGE_HZ);
    const sign = random() < 0.5 ? -1 : 1;
    const [least, most] = options.levelDb;
    const levelDb = sign * (least + random() * (most - least));
    const q = between(options.q);
    const reach = random() < options.everywhere ? 'everywhere' : random() < 0.5 ? 'axis' : 'moving';
    const isApart = features.every(
      (other) => Math.abs(Math.log2(other.centreHz / centreHz)) >= options.apartOctaves,
    );
    if (isApart) features.push({ centreHz, levelDb, q, reach });
  }
  return features;
}

/** Level of direction and frequency without features, dB. */
function plantBase(random: () => number): (angleDeg: number, hz: number) => number {
  const tiltDb = (random() - 0.5) * 1.2;
  const tuningHz = 30 + 30 * random();
  const order = random() < 0.5 ? 2 : 4;
  const narrowingHz = 800 + 1500 * random();
  const widestDb = 14 + 10 * random();
  return (angleDeg, hz) => {
    const bassDb = -10 * Math.log10(1 + (tuningHz / hz) ** (2 * order));
    const behind = (1 - Math.cos((angleDeg * Math.PI) / 180)) / 2;
    const narrowingDb = (widestDb * behind) / (1 + (narrowingHz / hz) ** 1.2);
    return 86 + tiltDb * Math.log2(hz / 1000) + bassDb - narrowingDb;
  };
}

function featureDb({ centreHz, levelDb, q, reach }: PlantedFeature, angleDeg: number, hz: number): number {
  if (reach === 'everywhere') return peakingDb(hz, centreHz, levelDb, q);
  const fade = Math.exp(-((angleDeg / (reach === 'axis' ? 15 : 30)) ** 2));
  const turn = 1 - Math.cos((angleDeg * Math.PI) / 180);
  const centreThere = reach === 'moving' ? centreHz * (1 + turn) : centreHz;
  return peakingDb(hz, centreThere, levelDb * fade, q);
}

/** Analogue prototype of the RBJ cookbook's peaking filter, dB. */
export function peakingDb(hz: number, centreHz: number, levelDb: number, q: number): number {
  const x = hz / centreHz;
  const amplitude = 10 ** (levelDb / 40);
  const real = (1 - x * x) ** 2;
  return 10 * Math.log10((real + ((amplitude * x) / q) ** 2) / (real + (x / (amplitude * q)) ** 2));
}
