import type { Orbit, SeriesSource } from '../series.js';
import type { ImpulseExtent } from './scanImpulse.js';

/** An impulse response with its direct sound found, read from a file or taken from a recorded sweep. */
export interface LocatedImpulse {
  readonly orbit: Orbit;
  readonly angleDeg: number;
  readonly samples: Float32Array | Float64Array;
  readonly extent: ImpulseExtent;
  readonly fullScaleDb?: number;
  readonly source: SeriesSource;
  /** The frequencies the stimulus held. */
  readonly bandHz: readonly [number, number];
  /** What a perfect device gives through the same stimulus, arriving at the same sample; absent: a single 1. */
  readonly ideal?: { readonly samples: Float32Array; readonly extent: ImpulseExtent };
}
