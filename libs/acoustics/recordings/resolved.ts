import type { CompressionSeries, DistortionSeries, MultitoneSeries, ResponseSeries } from '../series.js';
import type { LocatedImpulse } from './locatedImpulse.js';
import type { Notice } from './notice.js';

/** What one recording gives, before it is put with what the files held. */
export interface Resolved {
  readonly impulse?: LocatedImpulse;
  readonly distortion?: DistortionSeries;
  readonly multitone?: MultitoneSeries;
  readonly compression?: CompressionSeries;
  readonly inRoom?: ResponseSeries;
  readonly notices: readonly Notice[];
}
