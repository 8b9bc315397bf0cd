import * as fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { describeComparison } from '../describe/comparisonFigure.js';
import type { FigureDescription } from '../description.js';
import { describeAnalysis } from '../drawAnalysisFigures.js';
import { inventedResult } from '../testing/inventedResult.js';
import type { Box, FigureLayout } from './figureLayout.js';
import { layoutFigure, textsOf } from './layoutFigure.js';
import { textBox } from './layoutMarks.js';
import { SIZES, type SizeChoice } from './sizes.js';

const CONTEXT = { title: 'Invented Two', conditions: '1 m, 2.83 V', provenance: '72 files', invented: true };
const RESULT = inventedResult();
const FIGURES = describeAnalysis(RESULT, CONTEXT);
const CHOICES: SizeChoice[] = ['screen', 'phone', 'print', { widthPx: 1600 }, { widthPx: 280, fontPx: 10 }];

function first(): FigureDescription {
  const [figure] = FIGURES;
  if (!figure) throw new Error('No figure.');
  return figure;
}

function overlap(a: Box, b: Box): boolean {
  return a.x < b.x + b.width && b.x < a.x + a.width && a.y < b.y + b.height && b.y < a.y + a.height;
}

/** Every two texts of the layout that touch, and every text that leaves the page. */
function faults(layout: FigureLayout): string[] {
  const texts = textsOf(layout).map((text) => ({ text: text.text, box: textBox(text) }));
  const page = { x: 0, y: 0, width: layout.widthPx, height: layout.heightPx };
  const leaving = texts
    .filter(
      ({ box }) =>
        box.x < page.x - 0.01 ||
        box.y < page.y - 0.01 ||
        box.x + box.width > page.width + 0.01 ||
        box.y + box.height > page.height + 0.01,
    )
    .map(({ text }) => `leaves the page: ${text}`);
  const touching = texts.flatMap((one, index) =>
    texts
      .slice(index + 1)
      .filter((other) => overlap(one.box, other.box))
      .map((other) => `touch: ${one.text} | ${other.text}`),
  );
  return [...leaving, ...touching];
}

describe('layoutFigure', () => {
  it.each(CHOICES)('lets no two texts touch and none leave the page: %j', (choice) => {
    for (const figure of FIGURES) {
      expect({ [figure.name]: faults(layoutFigure(figure, choice)) }).toEqual({ [figure.name]: [] });
    }
  });

  it.each(CHOICES)('parts twelve curves that end at one level: %j', (choice) => {
    const units = Array.from({ length: 12 }, (_, index) => ({
      label: `Invented unit ${index + 1}`,
      result: RESULT,
    }));
    const figure = describeComparison(units, 'soundPower', 'sensitivity', CONTEXT);
    if (!figure) throw new Error('No figure.');
    const layout = layoutFigure(figure, choice);
    expect(faults(layout)).toEqual([]);
    const named = layout.panels.flatMap(({ series }) => series).filter(({ label }) => label !== undefined);
    expect(new Set([...named.map(({ id }) => id), ...layout.key.map(({ seriesId }) => seriesId)]).size).toBe(
      12,
    );
  });

  it('names in the key what has no room beside a low panel', () => {
    const units = Array.from({ length: 14 }, (_, index) => ({
      label: `Invented ${index + 1}`,
      result: RESULT,
    }));
    const figure = describeComparison(units, 'soundPowerDirectivityIndex', 'as-measured', CONTEXT);
    if (!figure) throw new Error('No figure.');
    const layout = layoutFigure(figure, 'print');
    expect(faults(layout)).toEqual([]);
    expect(layout.key.length).toBeGreaterThan(0);
    const beside = layout.panels.flatMap(({ series }) => series.filter(({ label }) => label));
    expect(beside.length + layout.key.length).toBe(14);
  });

  it('keeps marks off each other and inside their panel, however many there are', () => {
    const peaks = fc.array(fc.double({ min: 20, max: 20_000, noNaN: true }), { minLength: 1, maxLength: 24 });
    fc.assert(
      fc.property(peaks, (centres) => {
        const findings = centres.map((centreHz) => ({
          kind: 'peak' as const,
          fromHz: centreHz * 0.95,
          toHz: centreHz * 1.05,
          centreHz,
          levelDb: 2,
          curve: 'onAxis',
          correctable: true,
          why: 'Invented.',
        }));
        const figure = describeAnalysis({ ...RESULT, findings }, CONTEXT).find(
          ({ name }) => name === 'findings',
        );
        const panel = figure ? layoutFigure(figure, 'screen').panels[0] : undefined;
        if (!panel) throw new Error('No panel.');
        expect(panel.marks).toHaveLength(centres.length);
        panel.marks.forEach((mark, index) => {
          expect(mark.cx - mark.radius).toBeGreaterThanOrEqual(panel.box.x - 0.01);
          expect(mark.cx + mark.radius).toBeLessThanOrEqual(panel.box.x + panel.box.width + 0.01);
          for (const other of panel.marks.slice(index + 1)) {
            expect(Math.hypot(mark.cx - other.cx, mark.cy - other.cy)).toBeGreaterThanOrEqual(
              2 * mark.radius,
            );
          }
        });
      }),
      { numRuns: 15 },
    );
  });

  it('keeps marks off curves where there is room', () => {
    const figure = FIGURES.find(({ name }) => name === 'findings');
    const layout = figure ? layoutFigure(figure, 'screen') : undefined;
    expect(layout?.panels[0]?.marks.length).toBeGreaterThan(2);
    for (const panel of layout?.panels ?? []) {
      for (const { path } of panel.series) {
        const points = path
          .split(/[ML]/)
          .filter(Boolean)
          .map((pair) => pair.split(',').map(Number));
        for (const mark of panel.marks) {
          const nearest = Math.min(...points.map(([x = 0, y = 0]) => Math.hypot(x - mark.cx, y - mark.cy)));
          expect(nearest).toBeGreaterThan(mark.radius);
        }
      }
    }
  });

  it('takes away a curve the reader has switched off, with its label and its marks', () => {
    const figure = FIGURES.find(({ name }) => name === 'findings') as FigureDescription;
    const layout = layoutFigure(figure, 'screen', { hidden: new Set(['onAxis']) });
    expect(layout.panels[0]?.series.map(({ id }) => id)).not.toContain('onAxis');
    const before = layoutFigure(figure, 'screen').panels[0]?.marks.length ?? 0;
    expect(layout.panels[0]?.marks.length).toBeLessThan(before);
    expect(layout.panels[0]?.box).toEqual(layoutFigure(figure, 'screen').panels[0]?.box);
  });

  it('converts px to Hz and back', () => {
    const panel = FIGURES[0] ? layoutFigure(FIGURES[0], 'screen').panels[0] : undefined;
    if (!panel) throw new Error('No panel.');
    expect(panel.xOf(20)).toBeCloseTo(panel.box.x, 9);
    expect(panel.xOf(20_000)).toBeCloseTo(panel.box.x + panel.box.width, 9);
    expect(panel.hzAt(panel.xOf(1234))).toBeCloseTo(1234, 6);
    expect(panel.valueAt(panel.yOf(81.5))).toBeCloseTo(81.5, 9);
  });

  it('prints 8 pt text over 170 mm', () => {
    expect(SIZES.print.physicalWidth).toBe('170mm');
    expect((SIZES.print.fontPx * (170 / SIZES.print.widthPx) * 72) / 25.4).toBeGreaterThan(7.8);
  });

  it('refuses sizes nobody could read', () => {
    const figure = first();
    expect(() => layoutFigure(figure, { widthPx: 100 })).toThrow(RangeError);
    expect(() => layoutFigure(figure, { widthPx: Number.NaN })).toThrow(RangeError);
    expect(() => layoutFigure(figure, { widthPx: 400, fontPx: 2 })).toThrow(RangeError);
  });
});
