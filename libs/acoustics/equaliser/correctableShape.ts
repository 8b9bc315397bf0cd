import type { Finding } from '../analysis.js';

/** A departure that filters can take back. */
export interface CorrectableShape {
  readonly kind: 'bell' | 'slope';
  readonly centreHz: number;
  readonly fromHz: number;
  readonly toHz: number;
  /** Height of a bell; of a slope, what its upper end is to be lowered by against its lower end. */
  readonly levelDb: number;
  readonly q: number;
}

const SHAPED: readonly Finding['kind'][] = ['peak', 'dip', 'broad-excess', 'broad-deficit', 'tilt'];

/** A tilt up to this is within what makers choose, and stays. Common practice, no source. */
const CHOSEN_DB_PER_OCTAVE = 0.3;

/**
 * The shape of a finding, or undefined when it is not correctable or no filter's business. Of a tilt it is what
 * exceeds 0.3 dB per octave.
 */
export function correctableShape(finding: Finding): CorrectableShape | undefined {
  const { kind, correctable, centreHz, fromHz, toHz, levelDb } = finding;
  if (!correctable || !SHAPED.includes(kind)) return undefined;
  if (levelDb === undefined || !(fromHz > 0 && toHz > fromHz && centreHz > 0)) return undefined;
  const q = finding.q ?? Math.sqrt(fromHz * toHz) / (toHz - fromHz);
  if (kind !== 'tilt') return { kind: 'bell', centreHz, fromHz, toHz, levelDb, q };
  const excessDb = Math.abs(levelDb) - CHOSEN_DB_PER_OCTAVE * Math.log2(toHz / fromHz);
  if (excessDb <= 0) return undefined;
  return { kind: 'slope', centreHz, fromHz, toHz, levelDb: Math.sign(levelDb) * excessDb, q };
}
