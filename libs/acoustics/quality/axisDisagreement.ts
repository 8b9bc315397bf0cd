import { angleKey } from '../orbits/angleKey.js';
import type { GridAngle } from '../orbits/directivity.js';
import type { QualityFinding } from '../series.js';
import { bandDifferences } from './bandDifferences.js';
import { levelEvidence } from './levelEvidence.js';
import { median } from './median.js';
import type { QualityContext } from './qualityContext.js';
import { rms } from './rms.js';

/** How far two readings of the same direction may differ: level and, with it removed, shape; dB. */
interface Allowance {
  readonly angleDeg: 0 | 180;
  readonly bandHz: readonly [number, number];
  readonly checkLevelDb: number;
  readonly blockingLevelDb: number;
  readonly checkShapeDb: number;
  readonly blockingShapeDb: number;
}

/**
 * Turning a cabinet on its side moves it a little: repeatability in practice is some tenths of a dB on the
 * axis, worse behind it, where little sound is left above 2 kHz (common practice, no source).
 */
const ALLOWANCES: readonly Allowance[] = [
  {
    angleDeg: 0,
    bandHz: [200, 8000],
    checkLevelDb: 0.7,
    blockingLevelDb: 1.5,
    checkShapeDb: 1.2,
    blockingShapeDb: 2.5,
  },
  {
    angleDeg: 180,
    bandHz: [200, 2000],
    checkLevelDb: 1,
    blockingLevelDb: 2.5,
    checkShapeDb: 1.7,
    blockingShapeDb: 3.5,
  },
];

/** Horizontal and vertical 0, and 180, are the same direction: they must agree. */
export function axisDisagreement(context: QualityContext): QualityFinding[] {
  const { directivity } = context;
  if (directivity === undefined) return [];
  return ALLOWANCES.flatMap((allowance) => {
    const horizontal = directivity.byKey.get(angleKey('horizontal', allowance.angleDeg));
    const vertical = directivity.byKey.get(angleKey('vertical', allowance.angleDeg));
    return horizontal && vertical ? compare(context, allowance, horizontal, vertical) : [];
  });
}

function compare(
  context: QualityContext,
  allowance: Allowance,
  horizontal: GridAngle,
  vertical: GridAngle,
): QualityFinding[] {
  const differences = bandDifferences(context, horizontal, vertical, allowance.bandHz);
  if (differences.length < 3) return [];
  const levelDb = median(differences);
  const shapeDb = rms(differences.map((difference) => difference - levelDb));
  if (Math.abs(levelDb) < allowance.checkLevelDb && shapeDb < allowance.checkShapeDb) return [];
  const blocking = Math.abs(levelDb) >= allowance.blockingLevelDb || shapeDb >= allowance.blockingShapeDb;
  const direction = `${allowance.angleDeg}°`;
  return [
    {
      severity: blocking ? 'blocking' : 'check',
      code: 'axis-disagreement',
      message: `Horizontal and vertical ${direction} are one direction but differ by ${levelDb.toFixed(1)} dB in level and ${shapeDb.toFixed(1)} dB RMS in shape. Check distance, drive and where the axis points, and measure the ${direction} curve of both orbits again; the horizontal one is used.`,
      file: vertical.series.source.file,
      evidence: levelEvidence(
        `${direction} in both orbits`,
        context.directivity?.frequencyHz ?? new Float64Array(),
        [horizontal, vertical],
      ),
    },
  ];
}
