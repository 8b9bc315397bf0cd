import type { Finding } from '../analysis.js';

const FAULTS: readonly Finding['kind'][] = [
  'peak',
  'dip',
  'broad-excess',
  'broad-deficit',
  'directivity-mismatch',
  'vertical-null',
];

/** Whether the direct sound and the sound off the axis differ there, so that no boost can mend it. */
export function isDirectivityFault({ kind, correctable }: Finding): boolean {
  return !correctable && FAULTS.includes(kind);
}
