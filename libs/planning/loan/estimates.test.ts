import { describe, expect, it } from 'vitest';
import { learnEstimates, withEstimates } from './estimates.js';
import { defaultTemplates } from './templates.js';

const took = (...minutes: number[]) =>
  minutes.map((value) => ({ kind: 'orbits', unitKind: 'standmount', minutes: value }));

describe('learned durations', () => {
  it('are the median and the quartiles of what was done', () => {
    // 100 120 150 200 300: the quartiles fall on values.
    expect(learnEstimates(took(300, 100, 150, 120, 200))).toEqual([
      {
        kind: 'orbits',
        unitKind: 'standmount',
        count: 5,
        medianMinutes: 150,
        lowerQuartileMinutes: 120,
        upperQuartileMinutes: 200,
      },
    ]);
    expect(learnEstimates(took(100, 200))[0]).toMatchObject({
      medianMinutes: 150,
      lowerQuartileMinutes: 125,
    });
  });

  it('leave out what is no duration', () => {
    expect(learnEstimates(took(NaN, -5, 0, Infinity))).toEqual([]);
  });

  it('replace a template only when there is enough history, and change nothing else', () => {
    const orbits = (history: ReturnType<typeof took>, kind: string) =>
      withEstimates(defaultTemplates, learnEstimates(history))[kind].find((step) => step.kind === 'orbits')
        ?.minutes;
    expect(orbits(took(100, 110), 'standmount')).toBe(240);
    expect(orbits(took(100, 110, 130), 'standmount')).toBe(110);
    expect(orbits(took(100, 110, 130), 'panel')).toBe(360);
  });
});
