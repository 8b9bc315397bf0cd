import type { GridAngle } from '../orbits/directivity.js';
import type { QualityEvidence } from '../series.js';
import { angleName } from './angleName.js';

/** More curves than this hide what they should show. */
const MOST_CURVES = 6;

/** Responses drawn together as the picture behind a quality finding. */
export function levelEvidence(
  title: string,
  frequencyHz: Float64Array,
  angles: readonly GridAngle[],
): QualityEvidence {
  return {
    title,
    unit: 'dB SPL',
    frequencyHz: Array.from(frequencyHz),
    curves: angles.slice(0, MOST_CURVES).map(({ orbit, angleDeg, levelDb }) => ({
      label: angleName(orbit, angleDeg),
      values: Array.from(levelDb, (level) => Math.round(level * 100) / 100),
    })),
  };
}
