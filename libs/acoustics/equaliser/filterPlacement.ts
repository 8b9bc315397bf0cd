import type { CorrectableShape } from './correctableShape.js';
import type { FilterType } from './biquadOf.js';

/** A filter to be fitted: where it starts and how far it may go. Triples are ln frequency, gain in dB, ln Q. */
export interface FilterPlacement {
  readonly type: FilterType;
  readonly start: readonly [number, number, number];
  readonly lower: readonly [number, number, number];
  readonly upper: readonly [number, number, number];
}

const LOWEST_Q = 0.3;
const HIGHEST_Q = 16;
/** A shelf's Q above this overshoots. */
const HIGHEST_SHELF_Q = Math.SQRT1_2;
const DEEPEST_CUT_DB = -15;
const LEAST_MOVE_OCTAVES = 0.1;

/**
 * Filters that could take a departure back: one peaking filter of its frequency for a bell, a shelf from either
 * side for a slope. A bell's filter keeps its sign, so that no two filters work against each other.
 *
 * @param highestHz no filter goes above
 */
export function filterPlacements(
  { kind, centreHz, fromHz, toHz, levelDb, q }: CorrectableShape,
  maximumBoostDb: number,
  highestHz: number,
): readonly FilterPlacement[] {
  const clamp = (value: number, low: number, high: number): number => Math.min(high, Math.max(low, value));
  const gain = clamp(-levelDb, DEEPEST_CUT_DB, maximumBoostDb);
  if (kind === 'bell') {
    if (centreHz >= highestHz) return [];
    const move = Math.LN2 * Math.max(LEAST_MOVE_OCTAVES, Math.log2(toHz / fromHz) / 3);
    const ln = Math.log(centreHz);
    return [
      {
        type: 'peaking',
        start: [ln, gain, Math.log(clamp(q, LOWEST_Q, HIGHEST_Q))],
        lower: [ln - move, levelDb > 0 ? DEEPEST_CUT_DB : 0, Math.log(LOWEST_Q)],
        upper: [
          Math.min(ln + move, Math.log(highestHz)),
          levelDb > 0 ? 0 : maximumBoostDb,
          Math.log(HIGHEST_Q),
        ],
      },
    ];
  }
  const top = Math.min(toHz, highestHz);
  const shelf = (type: FilterType, share: number, sign: number): FilterPlacement => ({
    type,
    start: [
      Math.log(fromHz * (top / fromHz) ** share),
      clamp((sign * levelDb) / 2, DEEPEST_CUT_DB, maximumBoostDb),
      Math.log(0.4),
    ],
    lower: [Math.log(fromHz), DEEPEST_CUT_DB, Math.log(LOWEST_Q)],
    upper: [Math.log(top), maximumBoostDb, Math.log(HIGHEST_SHELF_Q)],
  });
  return [shelf('low-shelf', 0.3, 1), shelf('high-shelf', 0.7, -1)];
}
