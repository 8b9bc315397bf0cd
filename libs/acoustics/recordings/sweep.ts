import type { Stimulus } from '../series.js';

/** An exponential sweep as it was played: sin(2 pi f1 L (exp(t / L) - 1)), amplitude 1, no fades. */
export type Sweep = Extract<Stimulus, { type: 'exponential-sweep' }>;

/** A sweep as a recorder's clock sees it: played for `clockRatio` times its stated length. */
export interface ObservedSweep {
  readonly fromHz: number;
  readonly toHz: number;
  readonly seconds: number;
  /** L = T / ln(f2 / f1): the sweep multiplies its frequency by e in this time (Farina, AES 108th Convention, 2000). */
  readonly riseSeconds: number;
  readonly sampleRateHz: number;
}
