import type { Curves, Equaliser } from '../analysis.js';
import { equaliserState } from './equaliserState.js';

/**
 * The proposal to leave a loudspeaker as it is: no filters, no headroom given up, the same before and after. Only
 * data of both orbits can say so; undefined without.
 */
export function nothingToCorrect(
  frequencyHz: readonly number[],
  curves: Curves,
  sampleRateHz: number,
): Equaliser | undefined {
  if (!curves.soundPower) return undefined;
  const state = equaliserState(frequencyHz, curves);
  return { sampleRateHz, filters: [], headroomDb: 0, before: state, after: state };
}
