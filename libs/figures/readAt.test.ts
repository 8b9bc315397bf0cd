import { describe, expect, it } from 'vitest';
import { FREQUENCY_AXIS, LEVEL_HEIGHT, linearAxis, logAxis } from './describe/axes.js';
import { makeFigure, makePanel, makeSeries } from './describe/frame.js';
import { describeAnalysis } from './drawAnalysisFigures.js';
import { nextFrequency, readAt, readMapAt } from './readAt.js';
import { inventedResult } from './testing/inventedResult.js';

const LOOK = { slot: 0, dash: 'solid' } as const;
const linear = makePanel({
  id: 'level',
  x: FREQUENCY_AXIS,
  y: linearAxis('Level', 'dB', 40, 100, 10),
  height: LEVEL_HEIGHT,
  series: [
    makeSeries('a', 'A', 'A', LOOK, [100, 400, 1000], [80, 84, 90]),
    makeSeries('b', 'B', 'B', LOOK, [200, 500, 800, 900], [70, null, 72, 73]),
  ],
});
const logarithmic = makePanel({
  id: 'percent',
  x: FREQUENCY_AXIS,
  y: logAxis('THD', '%', 0.1, 10),
  height: LEVEL_HEIGHT,
  series: [makeSeries('t', 'THD', 'THD', LOOK, [100, 400], [0.1, 10])],
});
const FIGURE = makeFigure(
  { name: 'f', title: 'F', panels: [linear, logarithmic], summary: '' },
  { title: '', invented: false },
);

describe('readAt', () => {
  it('reads all curves at once: halfway in octaves is halfway in dB, and geometrically for percent', () => {
    const reading = readAt(FIGURE, 200);
    expect(reading.frequencyText).toBe('200 Hz');
    expect(reading.rows.map(({ seriesId, value }) => [seriesId, value])).toEqual([
      ['a', 82],
      ['b', 70],
      ['t', expect.closeTo(1, 12)],
    ]);
    expect(reading.rows.map(({ text }) => text)).toEqual(['82 dB', '70 dB', '1 %']);
  });

  it('says nothing beyond a curve and inside a gap', () => {
    expect(readAt(FIGURE, 600).rows[1]).toMatchObject({ value: null, text: '\u2013' });
    expect(readAt(FIGURE, 50).rows.map(({ value }) => value)).toEqual([null, null, null]);
    expect(readAt(FIGURE, 5000).rows.map(({ value }) => value)).toEqual([null, null, null]);
    expect(readAt(FIGURE, 800).rows[1]?.value).toBe(72);
  });

  it('steps through the data by keyboard and stops at the ends', () => {
    const up = [100];
    for (let index = 0; index < 8; index += 1) up.push(nextFrequency(FIGURE, up.at(-1) ?? 0, 1));
    expect(up).toEqual([100, 200, 400, 500, 800, 900, 1000, 1000, 1000]);
    expect(nextFrequency(FIGURE, 450, -1)).toBe(400);
    expect(nextFrequency(FIGURE, 100, -1)).toBe(100);
    expect(nextFrequency(FIGURE, 450, 1)).toBe(500);
  });
});

describe('readMapAt', () => {
  const map = describeAnalysis(inventedResult(), { title: '', invented: true }).find(
    ({ name }) => name === 'horizontal-map',
  )?.panels[0]?.map;

  it('reads the nearest measured angle, around the back too', () => {
    if (!map) throw new Error('No map.');
    expect(readMapAt(map, 1000, 3)).toMatchObject({ angleDeg: 0, levelDb: 0, text: '1 kHz, 0°: 0 dB' });
    expect(readMapAt(map, 1000, -177).angleDeg).toBe(180);
    expect(readMapAt(map, 1000, 44.9).angleDeg).toBe(40);
    expect(readMapAt(map, 10_000, 90).levelDb).toBeLessThan(-10);
    expect(readMapAt(map, 30_000, 0).levelDb).toBeNull();
  });
});
