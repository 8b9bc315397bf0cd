import type { GridAngle } from '../orbits/directivity.js';
import type { Orbit, QualityFinding } from '../series.js';
import { angleName } from './angleName.js';
import { findSignFlip, type SignFlip } from './findSignFlip.js';
import { levelEvidence } from './levelEvidence.js';
import { parityParts } from './parityParts.js';
import type { QualityContext } from './qualityContext.js';

/** Where the exchange takes away this much roughness there is no other explanation. */
const CERTAIN_LEFT = 0.35;

/**
 * Some files of an orbit carry the wrong sign: +a and -a are exchanged against their neighbours.
 *
 * It shows where the two sides differ; a symmetric orbit hides it and loses nothing by it. A whole orbit
 * counted the wrong way round can't be told from its levels.
 */
export function wrongSign(context: QualityContext): QualityFinding[] {
  return (['horizontal', 'vertical'] as const).flatMap((orbit) => {
    const parts = parityParts(context, orbit);
    const flip = parts && findSignFlip(parts);
    return flip === undefined ? [] : [finding(context, orbit, flip)];
  });
}

function finding(context: QualityContext, orbit: Orbit, flip: SignFlip): QualityFinding {
  const { firstRow, rows: count, left } = flip;
  const firstDeg = 10 * firstRow;
  const names = Array.from({ length: count }, (_, k) => `±${firstDeg + 10 * k}°`).join(', ');
  const angle = (angleDeg: number): GridAngle[] =>
    context.orbits[orbit].filter((one) => one.angleDeg === angleDeg).map((one) => one.angle);
  const shown = [firstDeg, -firstDeg, firstDeg - 10, firstDeg + 10 * count].flatMap((deg) => angle(deg));
  return {
    severity: left <= CERTAIN_LEFT ? 'blocking' : 'check',
    code: 'wrong-sign',
    message: `${orbit === 'vertical' ? 'Vertical' : 'Horizontal'} ${names} seem to carry each other's sign: exchanged, they continue their neighbours. Rename the files, or measure ${angleName(orbit, firstDeg)} again to be sure.`,
    file: shown[0].series.source.file,
    evidence: levelEvidence(
      `${angleName(orbit, firstDeg)} and its neighbours`,
      context.directivity?.frequencyHz ?? new Float64Array(),
      shown,
    ),
  };
}
