import * as fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { CompressionSeries, DistortionSeries, SeriesSource } from '../series.js';
import { loudestClean } from './loudestClean.js';
import { subwooferCrossover } from './subwooferCrossover.js';
import { summariseCompression } from './summariseCompression.js';
import { summariseDistortion } from './summariseDistortion.js';
import { summariseMultitone } from './summariseMultitone.js';
import { zonesBeyond } from './zonesBeyond.js';

const source: SeriesSource = { file: 'table.csv', sha256: '' };
const grid = Float64Array.from({ length: 240 }, (_, i) => 20 * 2 ** (i / 24));

function distortion(levelDb: number, thd: (hz: number) => number): DistortionSeries {
  return { levelDb, frequencyHz: grid, thdPercent: grid.map(thd), harmonicsPercent: {}, source };
}

function compression(levelDb: number, lost: (hz: number) => number): CompressionSeries {
  const responseDb = grid.map((hz) => levelDb + 3 * Math.sin(Math.log(hz)) - lost(hz));
  return { levelDb, frequencyHz: grid, responseDb, source };
}

describe('zonesBeyond', () => {
  it('interpolates the crossings over log frequency', () => {
    const zones = zonesBeyond([100, 200, 400, 800], [0, 4, 4, 0], 2);
    expect(zones).toHaveLength(1);
    expect(zones[0][0]).toBeCloseTo(100 * Math.SQRT2, 9);
    expect(zones[0][1]).toBeCloseTo(400 * Math.SQRT2, 9);
    expect(zonesBeyond([100, 200], [5, 1], 3)).toEqual([[100, expect.closeTo(100 * Math.SQRT2, 9)]]);
    expect(zonesBeyond([100, 200], [5, 5], 3)).toEqual([[100, 200]]);
    expect(zonesBeyond([100, 200], [3, 3], 3)).toEqual([]);
    expect(zonesBeyond([], [], 3)).toEqual([]);
  });

  it('holds exactly the points above the limit, in rising ranges apart from each other', () => {
    fc.assert(
      fc.property(fc.array(fc.integer({ min: 0, max: 6 }), { minLength: 1, maxLength: 40 }), (values) => {
        const hz = values.map((_, i) => 20 * 1.2 ** i);
        const zones = zonesBeyond(hz, values, 3);
        // A point exactly at the limit may end a range.
        const offLimit = [...values.keys()].filter((i) => values[i] !== 3);
        const inside = offLimit.map((i) => zones.some(([from, to]) => hz[i] >= from && hz[i] <= to));
        expect(inside).toEqual(offLimit.map((i) => values[i] > 3));
        const ends = zones.flat();
        // Two ranges may touch at the limit, to rounding.
        expect(ends.every((end, i) => i === 0 || end >= ends[i - 1] * (1 - 1e-9))).toBe(true);
      }),
    );
  });
});

describe('summariseDistortion', () => {
  it('sorts by level, sums harmonics where a table gives none, and marks what passes 3 %', () => {
    const series: DistortionSeries[] = [
      distortion(96, (hz) => (hz < 80 ? 10 : 0.5)),
      {
        levelDb: 86,
        frequencyHz: Float64Array.of(100, 1000, 10_000),
        harmonicsPercent: { 2: Float64Array.of(3, 0.3, Number.NaN), 3: Float64Array.of(4, 0.4, Number.NaN) },
        source,
      },
    ];
    const [low, high] = summariseDistortion(series);
    expect(low).toMatchObject({ levelDb: 86, frequencyHz: [100, 1000] });
    expect(low.thdPercent[0]).toBeCloseTo(5, 12);
    expect(low.thdPercent[1]).toBeCloseTo(0.5, 12);
    expect(low.harmonicsPercent).toEqual({ 2: [3, 0.3], 3: [4, 0.4] });
    expect(high.above3Percent).toHaveLength(1);
    expect(high.above3Percent[0][0]).toBe(20);
    expect(high.above3Percent[0][1]).toBeGreaterThan(78);
    expect(high.above3Percent[0][1]).toBeLessThan(83);
  });

  it('leaves out series that tell nothing', () => {
    const blank = { levelDb: 86, frequencyHz: grid, harmonicsPercent: {}, source };
    expect(summariseDistortion([blank])).toEqual([]);
  });
});

describe('summariseMultitone', () => {
  it('keeps a measured total, and takes the root mean square over the bands of a table', () => {
    const frequencyHz = Float64Array.of(100, 1000);
    const distortionPercent = Float64Array.of(3, 4);
    const table = { levelDb: 86, frequencyHz, distortionPercent, source };
    const [low, high] = summariseMultitone([{ ...table, levelDb: 96, totalPercent: 3.3 }, table]);
    expect(low.totalPercent).toBeCloseTo(Math.sqrt(12.5), 12);
    expect(high.totalPercent).toBe(3.3);
    expect(low.above3Percent).toEqual([[100, 1000]]);
  });
});

describe('summariseCompression', () => {
  it('takes the lowest level as reference, and the level step away', () => {
    const found = summariseCompression([
      compression(96, (hz) => (hz < 60 ? 2.5 : 0.2)),
      compression(76, () => 0),
      compression(86, () => 0.1),
    ]);
    expect(found?.referenceDb).toBe(76);
    expect(found?.levels.map(({ levelDb }) => levelDb)).toEqual([86, 96]);
    found?.levels[0].deviationDb.forEach((db) => expect(db).toBeCloseTo(-0.1, 9));
    expect(found?.above1Db).toHaveLength(1);
    expect(found?.above1Db[0]).toMatchObject({ levelDb: 96, fromHz: 20 });
    expect(found?.above1Db[0].worstDb).toBeCloseTo(-2.5, 9);
    expect(found?.above1Db[0].toHz).toBeGreaterThan(58);
    expect(found?.above1Db[0].toHz).toBeLessThan(62);
  });

  it('compares grids that differ, where they overlap', () => {
    const other = {
      ...compression(86, () => 1.5),
      frequencyHz: grid.slice(48),
      responseDb: compression(86, () => 1.5).responseDb.slice(48),
    };
    const found = summariseCompression([compression(76, () => 0), other]);
    expect(found?.levels[0].frequencyHz[0]).toBe(grid[48]);
    expect(found?.above1Db[0]).toMatchObject({ fromHz: grid[48], toHz: grid[239] });
  });

  it('passes over a single odd point, and says nothing with one level', () => {
    const spike = summariseCompression([
      compression(76, () => 0),
      compression(86, (hz) => (hz === grid[100] ? 5 : 0)),
    ]);
    expect(spike?.above1Db).toEqual([]);
    expect(summariseCompression([compression(76, () => 0)])).toBeUndefined();
    expect(summariseCompression([compression(76, () => 0), compression(76, () => 0)])).toBeUndefined();
    expect(summariseCompression([])).toBeUndefined();
  });
});

describe('loudestClean', () => {
  const bandAt = (bands: ReturnType<typeof loudestClean>, hz: number) =>
    bands.find(({ fromHz, toHz }) => hz >= fromHz && hz < toHz);

  it('is the last level before compression or distortion, per band', () => {
    const bands = loudestClean(
      summariseDistortion([
        distortion(86, (hz) => (hz < 40 ? 6 : 0.3)),
        distortion(96, (hz) => (hz < 80 ? 6 : 0.5)),
      ]),
      summariseCompression([
        compression(76, () => 0),
        compression(86, () => 0),
        compression(96, (hz) => (hz > 8000 ? 1.4 : 0)),
        compression(102, (hz) => (hz > 300 ? 1.2 : 0.5)),
      ]),
    );
    expect(bandAt(bands, 25)).toMatchObject({ levelDb: 76, limitedBy: 'distortion', limitedAtDb: 86 });
    expect(bandAt(bands, 63)).toMatchObject({ levelDb: 86, limitedBy: 'distortion', limitedAtDb: 96 });
    expect(bandAt(bands, 125)).toMatchObject({ levelDb: 102 });
    expect(bandAt(bands, 125)).not.toHaveProperty('limitedBy');
    expect(bandAt(bands, 1000)).toMatchObject({ levelDb: 96, limitedBy: 'compression', limitedAtDb: 102 });
    expect(bandAt(bands, 12_500)).toMatchObject({ levelDb: 86, limitedBy: 'compression', limitedAtDb: 96 });
  });

  it('names no level where none is clean, and no band where nothing was measured', () => {
    const bands = loudestClean(summariseDistortion([distortion(86, () => 7)]), undefined);
    expect(bandAt(bands, 1000)).toMatchObject({ limitedBy: 'distortion', limitedAtDb: 86 });
    expect(bandAt(bands, 1000)).not.toHaveProperty('levelDb');
    expect(loudestClean([], undefined)).toEqual([]);
  });
});

describe('subwooferCrossover', () => {
  it('takes the highest of its steps and shows them', () => {
    const found = subwooferCrossover({ f3Hz: 52, f10Hz: 38 }, []);
    // 52 x 1.414 = 73.5, 38 x 2 = 76.
    expect(found?.frequencyHz).toBe(80);
    expect(found?.arithmetic).toEqual([
      'Half an octave above F3: 52 Hz x 1.41 = 73.5 Hz.',
      'An octave above F10: 38 Hz x 2 = 76 Hz.',
      'The highest of these, 76 Hz, rounded up to 10 Hz: 80 Hz.',
    ]);
  });

  it('moves up over a bass that distorts at the loudest level', () => {
    const found = subwooferCrossover(
      { f3Hz: 45 },
      summariseDistortion([distortion(96, (hz) => (hz < 88 ? 5 : 1))]),
    );
    expect(found?.frequencyHz).toBe(90);
    expect(found?.arithmetic[1]).toMatch(
      /^At 96 dB the bass distorts by more than 3 % up to 8\d(\.\d)? Hz\.$/,
    );
  });

  it('stays within what subwoofers can do, and says so', () => {
    expect(subwooferCrossover({ f3Hz: 140 }, [])).toMatchObject({ frequencyHz: 120 });
    expect(subwooferCrossover({ f3Hz: 140 }, [])?.arithmetic.at(-1)).toContain('source of its own');
    expect(subwooferCrossover({ f3Hz: 20 }, [])).toMatchObject({ frequencyHz: 40 });
    expect(subwooferCrossover(undefined, [])).toBeUndefined();
    expect(subwooferCrossover({}, [])).toBeUndefined();
  });
});
