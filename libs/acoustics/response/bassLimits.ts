import type { BassLimits } from '../analysis.js';
import { fitLine } from './fitLine.js';
import { lowestCrossingHz } from './lowestCrossingHz.js';

/** The roll-off is fitted over the octave below the -10 dB point. */
const SLOPE_OCTAVES = 1;
const LEAST_SLOPE_OCTAVES = 1 / 3;

/**
 * Where the bass ends: the frequencies below which the curve stays 3, 6 and 10 dB under the reference, and
 * the slope of the octave under the last of them.
 *
 * @param frequencyHz rising
 * @param levelDb on axis, as long as `frequencyHz`
 * @param referenceDb the sensitivity, or `bassReferenceDb` of a subwoofer
 * @returns a limit the data does not reach is left out; the slope is positive, dB per octave, and left out
 *   when less than a third of an octave is measured below the -10 dB point
 */
export function bassLimits(
  frequencyHz: ArrayLike<number>,
  levelDb: ArrayLike<number>,
  referenceDb: number,
): BassLimits {
  const f3Hz = lowestCrossingHz(frequencyHz, levelDb, referenceDb - 3);
  const f6Hz = lowestCrossingHz(frequencyHz, levelDb, referenceDb - 6);
  const f10Hz = lowestCrossingHz(frequencyHz, levelDb, referenceDb - 10);
  const slope = f10Hz === undefined ? undefined : rollOffSlope(frequencyHz, levelDb, f10Hz);
  return {
    ...(f3Hz !== undefined && { f3Hz }),
    ...(f6Hz !== undefined && { f6Hz }),
    ...(f10Hz !== undefined && { f10Hz }),
    ...(slope !== undefined && { slopeDbPerOctave: slope }),
  };
}

function rollOffSlope(
  frequencyHz: ArrayLike<number>,
  levelDb: ArrayLike<number>,
  fromHz: number,
): number | undefined {
  let end = 0;
  while (end < frequencyHz.length && frequencyHz[end] <= fromHz) end += 1;
  const start = quietest(frequencyHz, levelDb, end, fromHz / 2 ** SLOPE_OCTAVES);
  if (end - start < 3 || Math.log2(fromHz / frequencyHz[start]) < LEAST_SLOPE_OCTAVES) return undefined;
  const octaves: number[] = [];
  const levels: number[] = [];
  for (let i = start; i < end; i += 1) {
    octaves.push(Math.log2(frequencyHz[i]));
    levels.push(levelDb[i]);
  }
  return fitLine(octaves, levels).slope;
}

/** Below its quietest point a curve shows noise or a port, not the roll-off. */
function quietest(
  frequencyHz: ArrayLike<number>,
  levelDb: ArrayLike<number>,
  end: number,
  lowestHz: number,
): number {
  let at = Math.max(0, end - 1);
  for (let i = at; i >= 0 && frequencyHz[i] >= lowestHz; i -= 1) if (levelDb[i] <= levelDb[at]) at = i;
  return at;
}
