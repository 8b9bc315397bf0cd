/** What was heard and what was measured, as this library wants them. Frequencies in Hz, sizes in dB. */

export interface MeasuredFinding {
  readonly kind: string;
  readonly fromHz: number;
  readonly toHz: number;
  readonly centreHz: number;
  /** Signed size; percent for distortion, ohm for impedance. */
  readonly levelDb?: number | undefined;
  readonly q?: number | undefined;
  readonly curve?: string | undefined;
  readonly correctable?: boolean | undefined;
  readonly why?: string | undefined;
}

export interface HeardRemark {
  readonly id: string;
  readonly text: string;
  readonly sign: 'excess' | 'lack' | 'neutral';
  readonly fromHz?: number | undefined;
  readonly toHz?: number | undefined;
  readonly descriptor?: string | undefined;
  /** 1 slight .. 5 spoils it. */
  readonly severity: number;
  /** Placement, seat, angle, in the listener's words. */
  readonly position?: string | undefined;
}

export interface Pair {
  readonly remarkId: string;
  readonly findingIndex: number;
  /** 0..1 */
  readonly score: number;
  readonly reason: string;
}
export interface HeardOnly {
  readonly remarkId: string;
  readonly likelyCause: LikelyCause;
  readonly reason: string;
}
export type LikelyCause = 'room' | 'placement' | 'level' | 'programme' | 'said-to-be-absent' | 'no-frequency';

export interface MeasuredOnly {
  readonly findingIndex: number;
  readonly reason: string;
}

export interface Correlation {
  readonly schema: 'sojourn.correlation/1';
  readonly pairs: readonly Pair[];
  readonly heardOnly: readonly HeardOnly[];
  readonly measuredOnly: readonly MeasuredOnly[];
}
