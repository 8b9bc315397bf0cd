import type { QualityFinding } from '../series.js';
import { bandIndices } from './bandIndices.js';
import { levelEvidence } from './levelEvidence.js';
import type { QualityContext } from './qualityContext.js';
import { rms } from './rms.js';

const BAND_HZ = [500, 10_000] as const;
/** As close as two measurements of one thing come. */
const ALIKE_DB = 0.5;
const LEAST_ANGLES = 8;

/**
 * The vertical orbit looks like the horizontal one, angle by angle: the cabinet may not have been laid on
 * its side. Exactly equal data is `identicalData`'s business.
 */
export function orbitsAlike(context: QualityContext): QualityFinding[] {
  const bands = bandIndices(context.bandHz, ...BAND_HZ);
  const vertical = new Map(context.orbits.vertical.map((angle) => [angle.angleDeg, angle]));
  const differences = context.orbits.horizontal.flatMap(({ angleDeg, bandDb }) => {
    const other = vertical.get(angleDeg);
    if (other === undefined || Math.abs(angleDeg) < 20 || Math.abs(angleDeg) > 160) return [];
    return [bands.map((band) => bandDb[band] - other.bandDb[band])];
  });
  if (differences.length < LEAST_ANGLES || bands.length < 6 || context.directivity === undefined) return [];
  const apart = rms(differences.flat());
  if (apart === 0 || apart >= ALIKE_DB) return [];
  const shown = (['horizontal', 'vertical'] as const).flatMap(
    (orbit) => context.orbits[orbit].find(({ angleDeg }) => angleDeg === 60)?.angle ?? [],
  );
  return [
    {
      severity: 'check',
      code: 'orbits-alike',
      message: `The vertical orbit is the horizontal one to within ${apart.toFixed(2)} dB RMS. Check that the cabinet was laid on its side for it; only a round cabinet with one centre of sound looks like this.`,
      evidence: levelEvidence('+60° of both orbits', context.directivity.frequencyHz, shown),
    },
  ];
}
