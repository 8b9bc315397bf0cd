import { slopeOf } from './slopeOf.js';

/** The least-squares line through `levelDb` against log2 of `hz`, as the level at any frequency in Hz. */
export function trendLine(hz: Float64Array, levelDb: Float64Array): (atHz: number) => number {
  const slope = slopeOf(hz, levelDb);
  const middle = hz.reduce((sum, f) => sum + Math.log2(f), 0) / hz.length;
  const mean = levelDb.reduce((sum, level) => sum + level, 0) / hz.length;
  return (atHz) => mean + slope * (Math.log2(atHz) - middle);
}
