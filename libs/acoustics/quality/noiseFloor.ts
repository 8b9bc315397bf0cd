import { bandEdgesHz } from '../grid/bandEdgesHz.js';
import { bandLevelDb } from '../levels/bandLevelDb.js';
import { angleAt } from '../orbits/angleAt.js';
import type { Directivity, GridAngle } from '../orbits/directivity.js';
import type { QualityFinding } from '../series.js';
import { angleName } from './angleName.js';
import { levelEvidence } from './levelEvidence.js';
import type { QualityContext } from './qualityContext.js';
import { roughnessDb } from './roughnessDb.js';

const OCTAVES_HZ = [63, 125, 250, 500, 1000, 2000, 4000, 8000];
/**
 * Noise this large from point to point hides features of its own size (common practice, no source). Off the
 * axis averages even it out, and a late reflection sampled coarsely looks the same.
 */
const CHECK_DB = 1;
const BLOCKING_DB = 2;
const CHECK_OFF_AXIS_DB = 4;
/** Readings this far below the axis add nothing to any average: their noise harms only themselves. */
const MATTERS_WITHIN_DB = 15;
/** Where the curves a review rests on are read. */
const WINDOW_DEG = 30;
const BLOCKING_FROM_HZ = 250;

interface Noisy {
  readonly angle: GridAngle;
  readonly centreHz: number;
  readonly roughness: number;
  readonly blocking: boolean;
}

/** Responses that are noise from point to point: too little level above the room's and the rig's own noise. */
export function noiseFloor({ directivity }: QualityContext): QualityFinding[] {
  if (directivity === undefined) return [];
  const axis = angleAt(directivity, 'horizontal', 0) ?? directivity.angles[0];
  const axisDb = OCTAVES_HZ.map((centre) => octaveLevel(directivity, axis, centre));
  const noisy = directivity.angles
    .filter((angle) => !angle.mirrored)
    .flatMap((angle) => {
      const matters = OCTAVES_HZ.filter(
        (centre, at) => octaveLevel(directivity, angle, centre) >= axisDb[at] - MATTERS_WITHIN_DB,
      );
      return noisiest(angle, matters) ?? [];
    });
  if (noisy.length === 0) return [];
  const worst = noisy.reduce((most, one) => (rank(one) > rank(most) ? one : most));
  const { orbit, angleDeg, series } = worst.angle;
  const others = noisy.length === 1 ? '' : ` and ${noisy.length - 1} more`;
  return [
    {
      severity: noisy.some(({ blocking }) => blocking) ? 'blocking' : 'check',
      code: 'noise-floor',
      message: `${angleName(orbit, angleDeg)}${others} drown${noisy.length === 1 ? 's' : ''} in noise: ${worst.roughness.toFixed(1)} dB from point to point about ${worst.centreHz} Hz. Measure at a higher level (within the maker's rated input), closer, longer or with more averages.`,
      file: series.source.file,
      evidence: levelEvidence(
        'The noisiest responses',
        directivity.frequencyHz,
        [worst.angle, ...noisy.filter((one) => one !== worst).map(({ angle }) => angle)].slice(0, 3),
      ),
    },
  ];
}

function octaveLevel({ frequencyHz }: Directivity, angle: GridAngle, centreHz: number): number {
  return bandLevelDb(frequencyHz, angle.pressureSquared, bandEdgesHz(centreHz, 1)) ?? -Infinity;
}

function rank({ blocking, roughness }: Noisy): number {
  return roughness + (blocking ? 100 : 0);
}

function noisiest(angle: GridAngle, octavesHz: readonly number[]): Noisy | undefined {
  const { frequencyHz, levelDb } = angle.series;
  let worst: Noisy | undefined;
  for (const centreHz of octavesHz) {
    const roughness = roughnessDb(frequencyHz, levelDb, bandEdgesHz(centreHz, 1));
    const nearAxis = Math.abs(angle.angleDeg) <= WINDOW_DEG;
    if (roughness === undefined || roughness < (nearAxis ? CHECK_DB : CHECK_OFF_AXIS_DB)) continue;
    const blocking = nearAxis && roughness >= BLOCKING_DB && centreHz >= BLOCKING_FROM_HZ;
    const found = { angle, centreHz, roughness, blocking };
    if (worst === undefined || rank(found) > rank(worst)) worst = found;
  }
  return worst;
}
