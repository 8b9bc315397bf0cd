import * as fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { AnalysisResult } from '../../acoustics/analysis.js';
import { describeAnalysis, drawAnalysisFigures } from '../drawAnalysisFigures.js';
import { inventedGrid } from '../testing/inventedGrid.js';
import { inventedResult } from '../testing/inventedResult.js';
import { describeComparison } from './comparisonFigure.js';
import { logAxis, levelAxis } from './axes.js';
import { CURVE_LOOKS, lookAt } from './curveLooks.js';
import { missingAngles } from './directivityFigures.js';
import { describeEvidence } from './evidenceFigure.js';

const CONTEXT = { title: 'Invented Two', invented: true };
const RESULT = inventedResult();
const { inputs, settings } = RESULT;
const EMPTY: AnalysisResult = {
  schema: 'sojourn.analysis/1',
  algorithmVersion: '0',
  settings,
  inputs,
  quality: [],
};

describe('describeAnalysis', () => {
  it('gives every figure the data allows, in reading order', () => {
    expect(describeAnalysis(RESULT, CONTEXT).map(({ name }) => name)).toEqual([
      'on-and-off-axis',
      'findings',
      'estimated-in-room',
      'early-reflections',
      'horizontal-map',
      'vertical-map',
      'coverage',
      'impedance',
      'distortion-86-db',
      'distortion-96-db',
      'multitone',
      'compression',
      'loudest-clean-level',
      'equaliser',
      'evidence-1-axes-disagree',
    ]);
  });

  it('gives none without data, and no panel without curves or map', () => {
    expect(describeAnalysis(EMPTY, CONTEXT)).toEqual([]);
    for (const { panels } of describeAnalysis(RESULT, CONTEXT)) {
      for (const { series, map } of panels) expect(series.length > 0 || map !== undefined).toBe(true);
    }
  });

  it('copes with on axis alone', () => {
    const alone = {
      ...EMPTY,
      frequencyHz: RESULT.frequencyHz ?? [],
      curves: { onAxis: RESULT.curves?.onAxis ?? [] },
    };
    const figures = describeAnalysis(alone, CONTEXT);
    expect(figures.map(({ name }) => name)).toEqual(['on-and-off-axis']);
    expect(figures[0]?.panels).toHaveLength(1);
  });

  it('is plain JSON: what the browser gets is what the worker made', () => {
    const figures = describeAnalysis(RESULT, CONTEXT);
    expect(JSON.parse(JSON.stringify(figures))).toEqual(figures);
  });

  it('keeps names unique and kebab-case, whatever levels and codes come', () => {
    const twice = [...(RESULT.distortion ?? []), ...(RESULT.distortion ?? [])].map((one, index) => ({
      ...one,
      levelDb: index < 2 ? 86 : 90.25,
    }));
    const quality = RESULT.quality.map((finding) => ({ ...finding, code: 'Ünknown Code/../x' }));
    const names = describeAnalysis({ ...RESULT, distortion: twice, quality }, CONTEXT).map(
      ({ name }) => name,
    );
    expect(new Set(names).size).toBe(names.length);
    for (const name of names) expect(name).toMatch(/^[a-z0-9]+(?:-[a-z0-9]+)*$/);
  });

  it('draws each with its SVG and CSV', () => {
    const drawn = drawAnalysisFigures(RESULT, { ...CONTEXT, theme: 'night', size: 'phone' });
    expect(drawn).toHaveLength(15);
    for (const { svg, csv } of drawn) {
      expect(svg).toContain('width="360"');
      expect(csv).toMatch(/^frequency_hz,/);
    }
  });
});

describe('nothing is cut off silently', () => {
  const anyLevel = fc.oneof(
    { weight: 6, arbitrary: fc.double({ min: 40, max: 110, noNaN: true }) },
    { weight: 1, arbitrary: fc.double({ min: -300, max: 300, noNaN: true }) },
  );

  it('notes exactly those figures whose data leaves the axes', () => {
    fc.assert(
      fc.property(fc.array(anyLevel, { minLength: 3, maxLength: 60 }), (levels) => {
        const frequencyHz = levels.map((_, index) => 20 * 1000 ** (index / levels.length));
        const result = { ...EMPTY, frequencyHz, curves: { onAxis: levels } };
        const figure = describeAnalysis(result, CONTEXT)[0];
        const [low, high] = figure?.panels[0]?.y.domain ?? [0, 0];
        const outside = levels.some((level) => level < low || level > high);
        expect(figure?.notes.some((note) => note.startsWith('Not drawn'))).toBe(outside);
        expect(high - low).toBeGreaterThanOrEqual(50);
        expect(high - low).toBeLessThanOrEqual(75);
      }),
    );
  });

  it('says which curves leave the axis, and where', () => {
    const frequencyHz = [20, 25, 31.5, 1000, 1060, 16_000, 20_000];
    const onAxis = [40, 45, 80, 86, 86, 86, 30];
    const soundPower = [30, 60, 80, 86, 86, 49, 30];
    const [figure] = describeAnalysis({ ...EMPTY, frequencyHz, curves: { onAxis, soundPower } }, CONTEXT);
    expect(figure?.notes).toEqual([
      'Not drawn, below 50 dB: On axis and sound power, at 20\u201325 Hz and 16\u201320 kHz.',
    ]);
  });

  it('says so where data lies beyond the frequency axis', () => {
    const frequencyHz = [5, 10, 20, 1000, 20_000, 40_000];
    const result = { ...EMPTY, frequencyHz, curves: { onAxis: frequencyHz.map(() => 86) } };
    expect(describeAnalysis(result, CONTEXT)[0]?.notes).toEqual([
      'The data runs from 5 Hz to 40 kHz; all of it is in the table.',
    ]);
  });

  it('turns what is not a number into a gap', () => {
    const result = { ...EMPTY, frequencyHz: [20, 200, 2000], curves: { onAxis: [NaN, 86, Infinity] } };
    expect(describeAnalysis(result, CONTEXT)[0]?.panels[0]?.series[0]?.y).toEqual([null, 86, null]);
  });

  it('names angles that were not measured', () => {
    const circle = Array.from({ length: 36 }, (_, index) => -170 + 10 * index);
    expect(missingAngles(circle)).toEqual([]);
    expect(missingAngles(circle.filter((angle) => angle !== 40))).toEqual(['+40°']);
    expect(missingAngles(circle.filter((angle) => angle < -60 || angle > -40))).toEqual([
      '\u221260° to \u221240°',
    ]);
    expect(missingAngles(circle.filter((angle) => angle !== 180))).toEqual(['180°']);
    expect(missingAngles([-60, -50, -40, -30, -20, -10, 0, 10, 20, 30, 40, 50, 60])).toEqual([]);
  });
});

describe('vertical nulls', () => {
  it('stand on the map once each, outwards of the null they mean', () => {
    const findings = [2390, 2310, 5000].map((centreHz) => ({
      kind: 'vertical-null' as const,
      fromHz: 2000,
      toHz: 2900,
      centreHz,
      levelDb: -17,
      correctable: false,
      why: 'Invented.',
    }));
    const map = describeAnalysis({ ...RESULT, findings }, CONTEXT).find(
      ({ name }) => name === 'vertical-map',
    );
    expect(map?.panels[0]?.marks.map(({ number, y, side }) => [number, y, side])).toEqual([
      [1, 30, 'above'],
      [2, -30, 'below'],
    ]);
  });
});

describe('axes', () => {
  it('centres the level window on the sensitivity', () => {
    expect(levelAxis('', 'dB', 86.2, 90).domain).toEqual([50, 100]);
    expect(levelAxis('', 'dB', 86.2, 104).domain).toEqual([50, 105]);
    expect(levelAxis('', 'dB', 86.2, 500).domain).toEqual([60, 135]);
  });

  it('holds any positive range in whole 1-2-5 steps', () => {
    const value = fc.double({ min: 1e-4, max: 1e6, noNaN: true });
    fc.assert(
      fc.property(value, value, (a, b) => {
        const [low, high] = logAxis('', '%', Math.min(a, b), Math.max(a, b)).domain;
        expect(low).toBeLessThanOrEqual(Math.min(a, b));
        expect(high).toBeGreaterThanOrEqual(Math.max(a, b));
      }),
    );
  });

  it('labels frequency as people do', () => {
    const ticks = describeAnalysis(RESULT, CONTEXT)[0]?.panels[0]?.x.ticks.map(({ text }) => text);
    expect(ticks).toEqual(['20', '50', '100', '200', '500', '1k', '2k', '5k', '10k', '20k']);
  });
});

describe('looks', () => {
  it('never gives two of the first 35 curves the same colour and dash', () => {
    const looks = Array.from({ length: 35 }, (_, index) => JSON.stringify(lookAt(index)));
    expect(new Set(looks).size).toBe(35);
  });

  it('tells the curves of every figure apart by colour and dash', () => {
    for (const { name, panels } of describeAnalysis(RESULT, CONTEXT)) {
      for (const { series } of panels) {
        const looks = series.map(({ slot, dash }) => `${slot} ${dash}`);
        expect([name, new Set(looks).size]).toEqual([name, looks.length]);
      }
    }
  });

  it('gives a directivity index the look of the curve it is taken from', () => {
    const { earlyReflections, earlyReflectionsDirectivityIndex: index } = CURVE_LOOKS;
    expect([index.slot, index.dash]).toEqual([earlyReflections.slot, earlyReflections.dash]);
  });
});

describe('describeComparison', () => {
  const units = [84, 88].map((db, index) => ({
    label: `Invented ${index + 1}`,
    result: { ...RESULT, sensitivity: { db, bandHz: [300, 3000] as const } },
  }));

  it('lays units over each other at their sensitivity', () => {
    const figure = describeComparison(units, 'onAxis', 'sensitivity', CONTEXT);
    const [first, second] = figure?.panels[0]?.series ?? [];
    const onAxis = RESULT.curves?.onAxis ?? [];
    expect(first?.y[100]).toBeCloseTo((onAxis[100] ?? NaN) - 84, 12);
    expect(second?.y[100]).toBeCloseTo((onAxis[100] ?? NaN) - 88, 12);
    expect(figure?.notes[0]).toContain('Invented 1 84 dB, Invented 2 88 dB');
  });

  it('names who is left out and needs two', () => {
    const bare = { label: 'Bare', result: EMPTY };
    const three = [...units, bare];
    expect(describeComparison(three, 'onAxis', 'as-measured', CONTEXT)?.notes).toContain(
      'Left out for want of data: Bare.',
    );
    expect(
      describeComparison([...units.slice(0, 1), bare], 'onAxis', 'as-measured', CONTEXT),
    ).toBeUndefined();
  });
});

describe('describeEvidence', () => {
  const evidenceOf = (unit: string, values: readonly (number | null)[]) =>
    describeEvidence(
      {
        severity: 'check',
        code: 'x',
        message: 'Remeasure.',
        evidence: {
          title: 'T',
          unit,
          frequencyHz: inventedGrid(3).slice(0, values.length),
          curves: [{ label: 'A', values }],
        },
      },
      'evidence',
      CONTEXT,
    );

  it.each([
    ['dB', [80, 90, null, 81]],
    ['dB', [-90, 10, 3]],
    ['dB', [0, 0, 0]],
    ['%', [0.01, 200, 0, null]],
    ['Ω', [3, 200]],
    ['°', [-170, 170]],
    ['mm', [1e-9, 5e-9]],
    ['', [5, 5, 5]],
    ['dB', [null, null]],
    ['ohm', [null]],
  ] as const)('finds an axis for %s %j', (unit, values) => {
    const figure = evidenceOf(unit, values);
    const [low, high] = figure?.panels[0]?.y.domain ?? [0, 0];
    expect(high).toBeGreaterThan(low);
    expect(figure?.panels[0]?.y.ticks.length).toBeGreaterThan(1);
    expect(figure?.notes[0]).toBe('Remeasure.');
  });

  it('has nothing to draw without evidence', () => {
    const bare = { severity: 'note', code: 'x', message: 'm' } as const;
    expect(describeEvidence(bare, 'n', CONTEXT)).toBeUndefined();
  });
});
