import { slopeOf } from './slopeOf.js';

/** A stretch where a slow curve stands off its straight line; edges at half of `levelDb` or the curve's ends. */
export interface Departure {
  readonly fromHz: number;
  readonly toHz: number;
  readonly centreHz: number;
  readonly levelDb: number;
}

/**
 * The stretches where `levelDb` (length of `hz`, rising) stands at least `leastDb` off the least-squares line
 * over log frequency through all of it, each from zero crossing to zero crossing reduced to half level.
 */
export function departures(hz: Float64Array, levelDb: Float64Array, leastDb: number): readonly Departure[] {
  const off = offLine(hz, levelDb);
  const found: Departure[] = [];
  let start = 0;
  for (let i = 1; i <= off.length; i++) {
    if (i < off.length && off[i] * off[start] > 0) continue;
    const one = widest(hz, off, start, i - 1);
    if (Math.abs(one.levelDb) >= leastDb) found.push(one);
    start = i;
  }
  return found;
}

function offLine(hz: Float64Array, levelDb: Float64Array): Float64Array {
  const slope = slopeOf(hz, levelDb);
  const meanX = hz.reduce((sum, f) => sum + Math.log2(f), 0) / hz.length;
  const meanY = levelDb.reduce((sum, level) => sum + level, 0) / hz.length;
  return levelDb.map((level, i) => level - meanY - slope * (Math.log2(hz[i]) - meanX));
}

function widest(hz: Float64Array, off: Float64Array, first: number, last: number): Departure {
  let at = first;
  for (let i = first; i <= last; i++) if (Math.abs(off[i]) > Math.abs(off[at])) at = i;
  let from = at;
  let to = at;
  while (from > first && Math.abs(off[from - 1]) >= Math.abs(off[at]) / 2) from--;
  while (to < last && Math.abs(off[to + 1]) >= Math.abs(off[at]) / 2) to++;
  return { fromHz: hz[from], toHz: hz[to], centreHz: hz[at], levelDb: off[at] };
}
