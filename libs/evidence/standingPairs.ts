/**
 * The computed pairs with what people decided on them: confirmed, refused, or added by hand. What then stands alone
 * is said to be heard only or measured only again.
 */
import { heardOnly } from './heardOnly.js';
import { measuredOnly } from './measuredOnly.js';
import type { Correlation, HeardOnly, HeardRemark, MeasuredFinding, MeasuredOnly } from './types.js';
import { understandRemark } from './understandRemark.js';

export interface Decision {
  readonly remarkId: string;
  readonly findingIndex: number;
  readonly decision: 'confirmed' | 'refused' | 'added';
}
export interface StandingPair {
  readonly remarkId: string;
  readonly findingIndex: number;
  /** Absent for a pair the computation did not find. */
  readonly score?: number;
  readonly reason: string;
  readonly decision: Decision['decision'] | 'computed';
}
export interface Standing {
  /** Refused ones too, so that they can be taken back. */
  readonly pairs: readonly StandingPair[];
  readonly heardOnly: readonly HeardOnly[];
  readonly measuredOnly: readonly MeasuredOnly[];
}

export function standingPairs(
  findings: readonly MeasuredFinding[],
  remarks: readonly HeardRemark[],
  computed: Correlation,
  decisions: readonly Decision[],
): Standing {
  const decided = new Map(decisions.map((one) => [keyOf(one), one.decision]));
  const found = new Set(computed.pairs.map(keyOf));
  const pairs: StandingPair[] = [
    ...computed.pairs.map((pair) => ({
      ...pair,
      decision: decided.get(keyOf(pair)) ?? ('computed' as const),
    })),
    ...decisions
      .filter((one) => !found.has(keyOf(one)) && one.decision !== 'refused')
      .map((one) => ({ ...one, reason: 'Put together by hand.' })),
  ];
  const standing = pairs.filter(({ decision }) => decision !== 'refused');
  const heard = new Set(standing.map(({ remarkId }) => remarkId));
  const explained = new Set(standing.map(({ findingIndex }) => findingIndex));
  return {
    pairs,
    heardOnly: remarks
      .filter(({ id }) => !heard.has(id))
      .map((remark) => heardOnly(remark, understandRemark(remark), findings)),
    measuredOnly: findings.flatMap((finding, index) =>
      explained.has(index)
        ? []
        : [{ findingIndex: index, reason: measuredOnly(finding, index, findings, explained) }],
    ),
  };
}

const keyOf = ({ remarkId, findingIndex }: { remarkId: string; findingIndex: number }): string =>
  `${findingIndex} ${remarkId}`;

/** Two computations of one unit name the same finding when its kind is the same and it has not moved further. */
const SAME_WITHIN_OCTAVES = 1 / 6;

/** The finding a decision speaks of, in whatever computation is the newest; -1 when it is not there any more. */
export function findingLike(
  findings: readonly Pick<MeasuredFinding, 'kind' | 'centreHz'>[],
  { kind, centreHz }: { readonly kind: string; readonly centreHz: number },
): number {
  let best = -1;
  let least = SAME_WITHIN_OCTAVES;
  findings.forEach((finding, index) => {
    const apart = Math.abs(Math.log2(finding.centreHz / centreHz));
    if (finding.kind !== kind || apart > least || (apart === least && best >= 0)) return;
    best = index;
    least = apart;
  });
  return best;
}
