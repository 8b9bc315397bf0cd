import type { Finding } from '../analysis.js';

/** A departure that filters can take back. */
export interface CorrectableShape {
  readonly kind: 'bell' | 'slope';
  readonly centreHz: number;
  readonly fromHz: number;
  readonly toHz: number;
  /** Height of a bell; of a slope, upper end less lower end. */
  readonly levelDb: number;
  readonly q: number;
}

const SHAPED: readonly Finding['kind'][] = ['peak', 'dip', 'broad-excess', 'broad-deficit', 'tilt'];

/** The shape of a finding, or undefined when it is not correctable or no filter's business. */
export function correctableShape(finding: Finding): CorrectableShape | undefined {
  const { kind, correctable, centreHz, fromHz, toHz, levelDb } = finding;
  if (!correctable || !SHAPED.includes(kind)) return undefined;
  if (levelDb === undefined || !(fromHz > 0 && toHz > fromHz && centreHz > 0)) return undefined;
  const q = finding.q ?? Math.sqrt(fromHz * toHz) / (toHz - fromHz);
  return { kind: kind === 'tilt' ? 'slope' : 'bell', centreHz, fromHz, toHz, levelDb, q };
}
