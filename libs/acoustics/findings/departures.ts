import { trendLine } from './trendLine.js';

/** Narrower is no balance, octaves. */
const LEAST_OCTAVES = 2 / 3;

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
  const trend = trendLine(hz, levelDb);
  const off = levelDb.map((level, i) => level - trend(hz[i]));
  const found: Departure[] = [];
  let start = 0;
  for (let i = 1; i <= off.length; i++) {
    if (i < off.length && off[i] * off[start] > 0) continue;
    const one = widest(hz, off, start, i - 1);
    const isWide = Math.log2(one.toHz / one.fromHz) >= LEAST_OCTAVES;
    if (isWide && Math.abs(one.levelDb) >= leastDb) found.push(one);
    start = i;
  }
  return found;
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
