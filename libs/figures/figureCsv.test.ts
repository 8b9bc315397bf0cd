import * as fc from 'fast-check';
import Papa from 'papaparse';
import { describe, expect, it } from 'vitest';
import type { FigureDescription } from './description.js';
import { FREQUENCY_AXIS, LEVEL_HEIGHT, linearAxis } from './describe/axes.js';
import { makeFigure, makePanel, makeSeries } from './describe/frame.js';
import { describeAnalysis } from './drawAnalysisFigures.js';
import { figureCsv } from './figureCsv.js';
import { inventedResult } from './testing/inventedResult.js';

/** The public reader the trade's scripts use, strict: any reported error fails. */
function read(csv: string): string[][] {
  const { data, errors } = Papa.parse<string[]>(csv, {
    delimiter: ',',
    newline: '\r\n',
    skipEmptyLines: true,
  });
  expect(errors).toEqual([]);
  return data;
}

type Curve = readonly [string, readonly number[], readonly (number | null)[]];

function figureOf(curves: readonly Curve[], title = 'Invented', invented = false): FigureDescription {
  const series = curves.map(([label, x, y], index) =>
    makeSeries(`c${index}`, label, label, { slot: index, dash: 'solid' }, x, y),
  );
  const y = linearAxis('Level', 'dB', 40, 100, 10);
  const panel = makePanel({ id: 'p', x: FREQUENCY_AXIS, y, height: LEVEL_HEIGHT, series });
  return makeFigure({ name: 'one', title, panels: [panel], summary: '' }, { title: '', invented });
}

describe('figureCsv', () => {
  it('writes one line per frequency, a gap as nothing, CRLF after every line (RFC 4180)', () => {
    const figure = figureOf([
      ['On axis', [20, 25], [60.25, null]],
      ['Listening window', [20, 31.5], [59.5, 61]],
    ]);
    expect(figureCsv(figure)).toBe(
      'frequency_hz,On axis (dB),Listening window (dB),about\r\n' +
        '20,60.25,59.5,Invented\r\n' +
        '25,,,\r\n' +
        '31.5,,61,\r\n',
    );
  });

  it('gives every number back to the last bit', () => {
    for (const figure of describeAnalysis(inventedResult(), { title: 'Invented Two', invented: true })) {
      const [heading = [], ...lines] = read(figureCsv(figure));
      expect(heading[0]).toBe('frequency_hz');
      const rows = new Map(lines.filter(([hz]) => hz !== '').map((fields) => [Number(fields[0]), fields]));
      let column = 1;
      for (const panel of figure.panels) {
        const map = panel.map;
        const curves = [...panel.series, ...(map ? map.levelDb.map((y) => ({ x: map.frequencyHz, y })) : [])];
        for (const { x, y } of curves) {
          x.forEach((hz, index) => {
            const field = rows.get(hz)?.[column];
            expect(field === '' ? null : Number(field)).toBe(y[index]);
          });
          column += 1;
        }
      }
      expect(heading).toHaveLength(column + 1);
      expect(new Set(heading).size).toBe(heading.length);
    }
  });

  it('says conditions, provenance and that the data is invented', () => {
    const context = { title: 'Two', conditions: '1 m', provenance: '72 files', invented: true };
    const [first] = describeAnalysis(inventedResult(), context);
    const about = read(first ? figureCsv(first) : '').map((fields) => fields.at(-1));
    expect(about.slice(0, 5)).toEqual([
      'about',
      'On and off axis: Two',
      'Invented data',
      'Measured: 1 m',
      'From: 72 files',
    ]);
  });

  it.each(['=1+1', '+1', '-1', '@SUM(A1)', '|calc', '\t=1', ' =1', '\r\n=1', '＝1+1', '＠x', '\u0000=1'])(
    'keeps a spreadsheet from running %j',
    (words) => {
      const [heading = [], first = []] = read(figureCsv(figureOf([[words, [20], [60]]], words)));
      for (const field of [heading[1] ?? '', first.at(-1) ?? '']) expect(field.startsWith("'")).toBe(true);
      expect(heading[1]).toBe(`'${words} (dB)`);
    },
  );

  it('leaves negative numbers numbers', () => {
    expect(figureCsv(figureOf([['A', [20], [-3.25]]]))).toContain('\r\n20,-3.25,');
  });

  it('brings any words back, but for the apostrophe before a formula', () => {
    const words = fc.string({ unit: 'binary', maxLength: 40 }).filter((text) => text !== '');
    fc.assert(
      fc.property(words, words, (label, title) => {
        const [heading = [], first = []] = read(figureCsv(figureOf([[label, [20], [60]]], title)));
        expect([`${label} (dB)`, `'${label} (dB)`]).toContain(heading[1]);
        expect([title, `'${title}`]).toContain(first.at(-1));
        expect(first.slice(0, 2)).toEqual(['20', '60']);
      }),
    );
  });
});
