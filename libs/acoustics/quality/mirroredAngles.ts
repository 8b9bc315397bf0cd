import type { QualityFinding } from '../series.js';
import { angleRanges } from './angleRanges.js';
import type { QualityContext } from './qualityContext.js';

/** Says for the record which angles the operator let the other side stand in for. */
export function mirroredAngles({ directivity }: QualityContext): QualityFinding[] {
  const mirrored = (directivity?.angles ?? []).filter((angle) => angle.mirrored);
  if (mirrored.length === 0) return [];
  const message = `Horizontal ${angleRanges(mirrored.map(({ angleDeg }) => angleDeg))} ${mirrored.length === 1 ? 'is' : 'are'} taken from the opposite side, as the conditions allow.`;
  return [{ severity: 'note', code: 'mirrored-angle', message }];
}
