import type { AnalysisResult } from '../analysis.js';

/** What kind of loudspeaker it is, where that changes what counts as a fault. */
export type UnitKind = 'stereo' | 'centre' | 'surround' | 'subwoofer';

/** The parts of an analysis findings are drawn from; each finding needs only its own part. */
export type FindingInputs = Pick<
  AnalysisResult,
  | 'frequencyHz'
  | 'curves'
  | 'inRoomTrend'
  | 'bass'
  | 'sensitivity'
  | 'horizontal'
  | 'vertical'
  | 'impedance'
  | 'distortion'
  | 'multitone'
  | 'compression'
> & { readonly unitKind?: UnitKind };
