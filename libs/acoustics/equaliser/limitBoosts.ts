import type { BiquadFilter } from '../analysis.js';
import { biquadOf } from './biquadOf.js';
import { biquadResponseDb } from './biquadResponseDb.js';
import type { CorrectionTarget } from './correctionTarget.js';

const MOST_ROUNDS = 60;
const LEAST_GAIN_DB = 0.05;

/**
 * Turns boosts down until the whole nowhere exceeds the highest gain allowed, each time the filter that lifts the
 * worst place most; a filter with nothing left to do is dropped.
 */
export function limitBoosts(
  filters: readonly BiquadFilter[],
  target: Pick<CorrectionTarget, 'frequencyHz' | 'highestDb'>,
  maximumBoostDb: number,
  sampleRateHz: number,
): readonly BiquadFilter[] {
  // A filter's own centre may fall between the points, and shelves rise beyond them.
  const beside = [0, sampleRateHz / 2, ...filters.map((filter) => filter.frequencyHz)];
  const frequencyHz = [...target.frequencyHz, ...beside];
  const highestDb = [...target.highestDb, ...beside.map(() => maximumBoostDb)];
  let kept = filters;
  for (let round = 0; round < MOST_ROUNDS; round++) {
    const gains = biquadResponseDb(kept, frequencyHz, sampleRateHz);
    let worst = 0;
    for (let i = 1; i < gains.length; i++) {
      if (gains[i] - highestDb[i] > gains[worst] - highestDb[worst]) worst = i;
    }
    const excess = gains[worst] - highestDb[worst];
    if (!(excess > 1e-9)) return kept;
    kept = turnDown(kept, frequencyHz[worst], excess, sampleRateHz);
  }
  // Without any boost nothing can be exceeded.
  return kept.filter(({ gainDb }) => gainDb < 0);
}

function turnDown(
  filters: readonly BiquadFilter[],
  atHz: number,
  excessDb: number,
  sampleRateHz: number,
): readonly BiquadFilter[] {
  const lifts = filters.map((filter) => biquadResponseDb([filter], [atHz], sampleRateHz)[0]);
  const most = lifts.indexOf(Math.max(...lifts));
  // A skirt grows a little slower than its filter's gain: a touch more is taken than a straight line would.
  const share = Math.max(0, 1 - (1.02 * excessDb) / lifts[most]);
  return filters.flatMap((filter, at) => {
    if (at !== most) return [filter];
    const { type, frequencyHz, gainDb, q } = filter;
    const turned = Math.floor(gainDb * share * 100) / 100;
    return turned < LEAST_GAIN_DB ? [] : [biquadOf(type, frequencyHz, turned, q, sampleRateHz)];
  });
}
