import type { Finding } from '../analysis.js';

export interface BellFinding extends Finding {
  readonly kind: 'peak' | 'dip' | 'broad-excess' | 'broad-deficit';
  readonly levelDb: number;
  readonly q: number;
}
