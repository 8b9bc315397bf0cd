import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { correlate } from './correlate.js';
import { plantedReview } from './testing/reviews.js';
import type { HeardRemark, MeasuredFinding } from './types.js';

const peak: MeasuredFinding = {
  kind: 'peak',
  fromHz: 2700,
  toHz: 3600,
  centreHz: 3100,
  levelDb: 4,
  q: 3.4,
  correctable: true,
};
const dip: MeasuredFinding = {
  kind: 'dip',
  fromHz: 120,
  toHz: 240,
  centreHz: 170,
  levelDb: -3,
  q: 1.4,
  correctable: false,
};
const remark = (more: Partial<HeardRemark>): HeardRemark => ({
  id: 'a',
  text: '',
  sign: 'excess',
  severity: 3,
  ...more,
});

describe('correlate', () => {
  /**
   * What it gets wrong, from looking at the misses: a word with a wide range (dull, bright, recessed) that fits two
   * findings goes to the larger one; a weak remark at the edge of a descriptor's range falls under the threshold;
   * and a remark that truly has no cause is given one when a wide finding of its sign reaches into its band.
   */
  it('pairs 100 planted reviews with precision and recall over 0.9', () => {
    let right = 0;
    let paired = 0;
    let planted = 0;
    for (let seed = 1; seed <= 100; seed++) {
      const { findings, remarks, truth } = plantedReview(seed);
      const { pairs } = correlate(findings, remarks);
      right += pairs.filter(({ remarkId, findingIndex }) => truth.has(`${remarkId} ${findingIndex}`)).length;
      paired += pairs.length;
      planted += truth.size;
    }
    const precision = right / paired;
    const recall = right / planted;
    console.info(
      `pairing of 100 reviews: precision ${precision.toFixed(3)}, recall ${recall.toFixed(3)} (${planted} planted pairs)`,
    );
    expect(precision).toBeGreaterThan(0.9);
    expect(recall).toBeGreaterThan(0.9);
  });

  it('understands a ticked descriptor, a word in the text, a named frequency and a range', () => {
    for (const heard of [
      remark({ descriptor: 'harsh' }),
      remark({ text: 'Strings are a bit harsh.' }),
      remark({ text: 'A glare around 3 kHz' }),
      remark({ text: 'too much, 2,5-4 kHz' }),
      remark({ fromHz: 2500, toHz: 4000 }),
    ]) {
      const { pairs } = correlate([dip, peak], [heard]);
      expect(pairs.map(({ findingIndex }) => findingIndex)).toEqual([1]);
      expect(pairs[0]?.reason).toContain('3.1 kHz');
    }
  });

  it('wants the sign to agree: too little is not explained by a peak', () => {
    expect(correlate([peak], [remark({ sign: 'lack', fromHz: 2500, toHz: 4000 })]).pairs).toEqual([]);
  });

  it('takes thin and dull for a lack, however they were ticked', () => {
    const [pair] = correlate([dip], [remark({ descriptor: 'thin', sign: 'excess' })]).pairs;
    expect(pair?.findingIndex).toBe(0);
  });

  it('does not look for what the remark says is absent', () => {
    const { pairs, heardOnly } = correlate([peak], [remark({ text: 'Not at all harsh.', sign: 'neutral' })]);
    expect(pairs).toEqual([]);
    expect(heardOnly[0]?.likelyCause).toBe('said-to-be-absent');
  });

  it('scores higher with size, with width and with severity', () => {
    const score = (finding: Partial<MeasuredFinding>, severity = 3) =>
      correlate([{ ...peak, ...finding }], [remark({ descriptor: 'harsh', severity })]).pairs[0]?.score ?? 0;
    expect(score({ levelDb: 6 })).toBeGreaterThan(score({ levelDb: 2 }));
    expect(score({ fromHz: 2200, toHz: 4400 })).toBeGreaterThan(score({ fromHz: 3000, toHz: 3200 }));
    expect(score({}, 5)).toBeGreaterThan(score({}, 1));
  });

  it('explains two peaks by two remarks rather than one twice', () => {
    const low = { ...peak, fromHz: 2200, toHz: 2800, centreHz: 2450, levelDb: 5 };
    const high = { ...peak, fromHz: 3700, toHz: 4600, centreHz: 4100, levelDb: 4 };
    const { pairs } = correlate(
      [low, high],
      [remark({ id: 'shouty', descriptor: 'shouty' }), remark({ id: 'harsh', descriptor: 'harsh' })],
    );
    expect(pairs.find(({ remarkId }) => remarkId === 'shouty')?.findingIndex).toBe(0);
    expect(pairs.find(({ remarkId }) => remarkId === 'harsh')?.findingIndex).toBe(1);
  });

  it('suspects the room first under 500 Hz and names the placement', () => {
    const { heardOnly } = correlate(
      [peak],
      [remark({ descriptor: 'boomy', position: '40 cm from the wall' })],
    );
    expect(heardOnly[0]).toMatchObject({ likelyCause: 'room' });
    expect(heardOnly[0]?.reason).toContain('40 cm from the wall');
  });

  it('asks for the curve of the angle when the cabinet was turned', () => {
    const [pair] = correlate(
      [peak],
      [remark({ descriptor: 'harsh', position: 'turned out 30 degrees' })],
    ).pairs;
    expect(pair?.reason).toContain('curve of the angle');
  });

  it('says of what nobody heard that a neighbour may mask it', () => {
    const small = { ...peak, fromHz: 4000, toHz: 4400, centreHz: 4200, levelDb: 1.2 };
    const { measuredOnly } = correlate([peak, small], [remark({ fromHz: 2800, toHz: 3400 })]);
    expect(measuredOnly).toHaveLength(1);
    expect(measuredOnly[0]?.reason).toContain('masked by the larger peak at 3.1 kHz');
  });

  it('leaves nothing out: every remark and every finding is in its place, whatever the order', () => {
    fc.assert(
      fc.property(fc.integer({ min: 1, max: 1e6 }), (seed) => {
        const { findings, remarks } = plantedReview(seed);
        const there = correlate(findings, remarks);
        const back = correlate(findings, remarks.toReversed());
        const placed = new Set([...there.pairs, ...there.heardOnly].map(({ remarkId }) => remarkId));
        const found = new Set(
          [...there.pairs, ...there.measuredOnly].map(({ findingIndex }) => findingIndex),
        );
        const keys = (from: typeof there) =>
          from.pairs.map((pair) => `${pair.remarkId} ${pair.findingIndex}`).sort();
        expect(placed.size).toBe(remarks.length);
        expect(found.size).toBe(findings.length);
        expect(there.pairs.every(({ score }) => score > 0 && score <= 1)).toBe(true);
        expect(keys(back)).toEqual(keys(there));
      }),
      { numRuns: 200 },
    );
  });
});
