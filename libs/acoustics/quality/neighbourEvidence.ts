import type { Orbit, QualityEvidence } from '../series.js';
import { levelEvidence } from './levelEvidence.js';
import type { QualityContext } from './qualityContext.js';

/**
 * An angle's response, where there is one, between those 10 degrees to its sides; undefined when the set
 * has none of them.
 */
export function neighbourEvidence(
  { directivity, orbits }: QualityContext,
  orbit: Orbit,
  angleDeg: number,
  title: string,
): QualityEvidence | undefined {
  if (directivity === undefined) return undefined;
  const turned = [0, -10, 10].map((away) => {
    const angle = angleDeg + away;
    if (angle > 180) return angle - 360;
    return angle <= -180 ? angle + 360 : angle;
  });
  const shown = turned.flatMap((deg) => orbits[orbit].find((one) => one.angleDeg === deg)?.angle ?? []);
  return shown.length === 0 ? undefined : levelEvidence(title, directivity.frequencyHz, shown);
}
