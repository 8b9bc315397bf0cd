/** How well one remark and one finding fit: overlap in log frequency and agreeing sign; grows with size, width, severity. */
import { expectationsOf, type Expectation } from './claimOfFinding.js';
import type { Band } from './frequenciesInText.js';
import type { MeasuredFinding } from './types.js';
import type { Claim } from './understandRemark.js';

/** Where a listener says it is and where it is measured may differ by this much before it counts against them. */
const EDGE_OCTAVES = 1 / 6;
/** A remark without a sign fits either, a little less well. */
const NO_SIGN = 0.85;

/** @returns 0 (nothing in common) .. 1 */
export function matchScore(claim: Claim, severity: number, finding: MeasuredFinding): number {
  if (!claim.band || claim.denied) return 0;
  const { band } = claim;
  const scores = expectationsOf(finding).map((expected) => scoreOf(claim, band, severity, expected));
  return Math.max(0, ...scores);
}

function scoreOf(claim: Claim, band: Band, severity: number, expected: Expectation): number {
  const agreement = agreementOf(claim, expected);
  const overlap = agreement === 0 ? 0 : overlapOf(band, expected.band);
  if (overlap === 0) return 0;
  const width = Math.min(1, octaves(expected.band) / 1.5);
  const strength = 0.62 * expected.size + 0.2 * width + 0.18 * (severity / 5);
  return agreement * overlap * (0.35 + 0.65 * strength);
}

function agreementOf(claim: Claim, expected: Expectation): number {
  // Strain is heard whichever way it was ticked; a balance is not explained by it unless the words say so.
  if (expected.strain) return claim.strained ? 1 : 0.45 * signAgreement(claim.sign, expected.sign);
  return signAgreement(claim.sign, expected.sign);
}

function signAgreement(heard: Claim['sign'], measured: Expectation['sign']): number {
  if (heard === 'either' || measured === 'either') return NO_SIGN;
  return heard === measured ? 1 : 0;
}

/** The share of the narrower band that lies in the other, with soft edges; nearer middles count more. */
export function overlapOf(heard: Band, measured: Band): number {
  const soft = (band: Band) => ({
    from: Math.log2(band.fromHz) - EDGE_OCTAVES,
    to: Math.log2(band.toHz) + EDGE_OCTAVES,
  });
  const a = soft(heard);
  const b = soft(measured);
  const shared = Math.min(a.to, b.to) - Math.max(a.from, b.from);
  if (shared <= 0) return 0;
  const share = shared / Math.min(a.to - a.from, b.to - b.from);
  const apart = Math.abs((a.from + a.to) / 2 - (b.from + b.to) / 2);
  const nearness = Math.exp(-((apart / Math.max(a.to - a.from, b.to - b.from)) ** 2) * 2);
  return Math.min(1, share) * (0.5 + 0.5 * nearness);
}

export const octaves = ({ fromHz, toHz }: Band): number => Math.log2(toHz / fromHz);
