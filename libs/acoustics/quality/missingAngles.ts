import type { Orbit, QualityFinding } from '../series.js';
import { angleAt } from '../orbits/angleAt.js';
import { angleName } from './angleName.js';
import { angleRanges } from './angleRanges.js';
import { neighbourEvidence } from './neighbourEvidence.js';
import type { QualityContext } from './qualityContext.js';

const FULL_ORBIT_DEG = Array.from({ length: 36 }, (_, k) => (k + 1) * 10 - 180);

/**
 * Angles of the two 10 degree orbits that are not there. Blocking once anything off the axis was measured
 * at all; a set with only an axis curve may be meant so and asks for a look.
 */
export function missingAngles(context: QualityContext): QualityFinding[] {
  const { set, directivity } = context;
  if (directivity === undefined) return [];
  const begun = directivity.angles.some(({ angleDeg }) => angleDeg !== 0 && angleDeg !== 180);
  return (['horizontal', 'vertical'] as const).flatMap((orbit) => {
    const missing = FULL_ORBIT_DEG.filter((angleDeg) => angleAt(directivity, orbit, angleDeg) === undefined);
    if (missing.length === 0) return [];
    const severity = begun ? 'blocking' : 'check';
    const mirror = mirrorHint(orbit, missing, set.conditions.mirrorHorizontal === true);
    const evidence = neighbourEvidence(context, orbit, missing[0], `Beside ${angleName(orbit, missing[0])}`);
    const message = `${wording(orbit, missing)}${mirror}`;
    return [{ severity, code: 'missing-angle', message, ...(evidence && { evidence }) }];
  });
}

function wording(orbit: Orbit, missing: readonly number[]): string {
  // 0 and 180 may be there from the other orbit.
  if (missing.length >= 34) {
    return `The ${orbit} orbit is missing: measure it in 10° steps all the way round, -170° to 180°.`;
  }
  const many = missing.length > 1;
  return `The ${orbit} orbit lacks ${angleRanges(missing)}. Measure ${many ? 'these angles' : 'this angle'} before the unit leaves; curves that need ${many ? 'them' : 'it'} are left out.`;
}

function mirrorHint(orbit: Orbit, missing: readonly number[], allowed: boolean): string {
  const oneSide = missing.every((angle) => angle < 0) || missing.every((angle) => angle > 0 && angle !== 180);
  if (orbit !== 'horizontal' || allowed || !oneSide || missing.length < 10) return '';
  return ' If the cabinet is symmetric, the manifest may say "mirrorHorizontal": true.';
}
