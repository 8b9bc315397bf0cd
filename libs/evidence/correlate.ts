/**
 * Matches what was heard with what was measured.
 *
 * Each remark first gets a finding of its own, chosen so that the scores add up to the most (`assign`): with
 * "harsh" and "shouty" and peaks at 2.4 and 4 kHz both peaks are explained. A remark left without one, or with one
 * that fits it much worse than its best, joins its best: two people may have heard the same peak. A second finding
 * is named beside the first where it fits nearly as well. Nothing under `THRESHOLD` is a pair.
 *
 * The order of the remarks does not matter to what is paired.
 */
import { assign } from './assign.js';
import { heardOnly } from './heardOnly.js';
import { matchScore } from './matchScore.js';
import { measuredOnly } from './measuredOnly.js';
import { reasonOf } from './reasonOf.js';
import type { Correlation, HeardRemark, MeasuredFinding, Pair } from './types.js';
import { understandRemark } from './understandRemark.js';

export const THRESHOLD = 0.3;
/** An own finding that fits less well than this share of the best is given up for the best. */
const OWN_SHARE = 0.6;
/** A further finding is named when it fits at least this well, measured by the best. */
const FURTHER_SHARE = 0.92;

export function correlate(findings: readonly MeasuredFinding[], heard: readonly HeardRemark[]): Correlation {
  // In one order always: where two ways to pair add up to the same, the same one is taken.
  const remarks = heard.toSorted((a, b) => (a.id < b.id ? -1 : 1));
  const claims = remarks.map(understandRemark);
  const scores = remarks.map((remark, row) => {
    const claim = claims[row];
    return findings.map((finding) =>
      claim ? aboveThreshold(matchScore(claim, remark.severity, finding)) : 0,
    );
  });
  const own = assign(scores);
  const pairs: Pair[] = [];
  const alone: HeardRemark[] = [];
  remarks.forEach((remark, row) => {
    const chosen = choose(scores[row] ?? [], own[row] ?? -1);
    if (chosen.length === 0) alone.push(remark);
    for (const findingIndex of chosen) {
      const score = round(scores[row]?.[findingIndex] ?? 0);
      const finding = findings[findingIndex];
      const claim = claims[row];
      if (finding && claim)
        pairs.push({ remarkId: remark.id, findingIndex, score, reason: reasonOf(remark, claim, finding) });
    }
  });
  const explained = new Set(pairs.map(({ findingIndex }) => findingIndex));
  return {
    schema: 'sojourn.correlation/1',
    pairs,
    heardOnly: alone.map((remark) => heardOnly(remark, understandRemark(remark), findings)),
    measuredOnly: findings.flatMap((finding, index) =>
      explained.has(index)
        ? []
        : [{ findingIndex: index, reason: measuredOnly(finding, index, findings, explained) }],
    ),
  };
}

const aboveThreshold = (score: number): number => (score >= THRESHOLD ? score : 0);
const round = (score: number): number => Math.round(score * 1000) / 1000;

function choose(scores: readonly number[], own: number): number[] {
  const best = Math.max(0, ...scores);
  if (best === 0) return [];
  const ownScore = own < 0 ? 0 : (scores[own] ?? 0);
  const first = ownScore >= OWN_SHARE * best ? own : scores.indexOf(best);
  const further = scores.flatMap((score, index) =>
    index !== first && index !== own && first !== own && score >= FURTHER_SHARE * best ? [index] : [],
  );
  return [first, ...further];
}
