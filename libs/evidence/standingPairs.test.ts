import { describe, expect, it } from 'vitest';
import { correlate } from './correlate.js';
import { findingLike, standingPairs } from './standingPairs.js';
import type { HeardRemark, MeasuredFinding } from './types.js';

const findings: MeasuredFinding[] = [
  { kind: 'peak', fromHz: 2700, toHz: 3600, centreHz: 3100, levelDb: 4, q: 3.4, correctable: true },
  { kind: 'dip', fromHz: 120, toHz: 240, centreHz: 170, levelDb: -3, q: 1.4, correctable: false },
];
const remarks: HeardRemark[] = [
  { id: 'harsh', text: 'strings are harsh', sign: 'excess', severity: 3 },
  { id: 'grain', text: 'a grain', sign: 'neutral', severity: 2 },
];
const computed = correlate(findings, remarks);
const stand = (...decisions: Parameters<typeof standingPairs>[3]) =>
  standingPairs(findings, remarks, computed, decisions);

describe('pairs with what people decided', () => {
  it('are the computed ones while nobody decided', () => {
    const { pairs, heardOnly, measuredOnly } = stand();
    expect(pairs).toMatchObject([{ remarkId: 'harsh', findingIndex: 0, decision: 'computed' }]);
    expect(heardOnly).toEqual(computed.heardOnly);
    expect(measuredOnly).toEqual(computed.measuredOnly);
  });
  it('leave both alone when refused, and keep the pair in sight', () => {
    const { pairs, heardOnly, measuredOnly } = stand({
      remarkId: 'harsh',
      findingIndex: 0,
      decision: 'refused',
    });
    expect(pairs).toMatchObject([{ remarkId: 'harsh', decision: 'refused' }]);
    expect(heardOnly.map(({ remarkId }) => remarkId)).toEqual(['harsh', 'grain']);
    expect(measuredOnly.map(({ findingIndex }) => findingIndex)).toEqual([0, 1]);
  });
  it('keep their score when confirmed', () => {
    const [pair] = stand({ remarkId: 'harsh', findingIndex: 0, decision: 'confirmed' }).pairs;
    expect(pair).toMatchObject({ decision: 'confirmed', score: computed.pairs[0]?.score });
  });
  it('grow by what was added by hand, which has no score', () => {
    const { pairs, heardOnly, measuredOnly } = stand({
      remarkId: 'grain',
      findingIndex: 1,
      decision: 'added',
    });
    expect(pairs).toHaveLength(2);
    expect(pairs[1]?.score).toBeUndefined();
    expect(heardOnly).toEqual([]);
    expect(measuredOnly).toEqual([]);
  });
});

describe('a finding of another computation', () => {
  it('is the nearest of its kind within a sixth of an octave', () => {
    expect(findingLike(findings, { kind: 'peak', centreHz: 3000 })).toBe(0);
    expect(findingLike(findings, { kind: 'peak', centreHz: 3100 * 2 ** 0.17 })).toBe(-1);
    expect(findingLike(findings, { kind: 'dip', centreHz: 3100 })).toBe(-1);
    const close = [...findings, { kind: 'peak', fromHz: 2800, toHz: 3300, centreHz: 3010 }];
    expect(findingLike(close, { kind: 'peak', centreHz: 3000 })).toBe(2);
  });
});
