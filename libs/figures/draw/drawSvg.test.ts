import { DOMParser } from '@xmldom/xmldom';
import { describe, expect, it } from 'vitest';
import type { FigureDescription } from '../description.js';
import { describeComparison } from '../describe/comparisonFigure.js';
import { describeAnalysis } from '../drawAnalysisFigures.js';
import { inventedResult } from '../testing/inventedResult.js';
import { drawSvg } from './drawSvg.js';

const CONTEXT = { title: 'Invented Two', conditions: '1 m, 2.83 V', provenance: '72 files', invented: true };
const RESULT = inventedResult();
const FIGURES = describeAnalysis(RESULT, CONTEXT);

/** Strict: any warning of the XML reader fails. */
function parse(svg: string) {
  const onError = (level: string, message: string) => {
    throw new Error(`${level}: ${message}`);
  };
  return new DOMParser({ onError }).parseFromString(svg, 'image/svg+xml');
}

function elements(svg: string) {
  return Array.from(parse(svg).getElementsByTagName('*'));
}

const ALLOWED = ['svg', 'title', 'desc', 'g', 'rect', 'path', 'text', 'circle', 'image'];
const everySize = (['screen', 'phone', 'print'] as const).flatMap((size) =>
  (['paper', 'night'] as const).map((theme) => ({ size, theme })),
);

describe('drawSvg', () => {
  it.each(everySize)('is well-formed, inert and self-contained: $size, $theme', (options) => {
    for (const figure of FIGURES) {
      const all = elements(drawSvg(figure, options));
      expect(all.length).toBeGreaterThan(20);
      for (const element of all) {
        expect(ALLOWED).toContain(element.tagName);
        for (const { name, value } of Array.from(element.attributes)) {
          expect(name).not.toMatch(/^on|^style$|^id$|^class$/i);
          expect(value).not.toMatch(/NaN|Infinity|undefined|url\(/);
          const isReference = name.endsWith('href');
          expect(!isReference || /^data:image\/png;base64,[A-Za-z0-9+/]+=*$/.test(value)).toBe(true);
        }
      }
    }
  });

  it('has a name and a description for readers who cannot see it', () => {
    for (const figure of FIGURES) {
      const root = parse(drawSvg(figure, { size: 'screen', theme: 'paper' })).documentElement;
      expect(root?.getAttribute('role')).toBe('img');
      expect(root?.getAttribute('aria-label')).toBe(`${figure.title}, Invented Two`);
      expect(root?.getElementsByTagName('title')[0]?.textContent).toBe(`${figure.title}, Invented Two`);
      expect(root?.getElementsByTagName('desc')[0]?.textContent).toBe(`${figure.summary} Invented data.`);
    }
  });

  it('says unit, conditions, provenance and that the data is invented', () => {
    for (const figure of FIGURES) {
      const texts = elements(drawSvg(figure, { size: 'screen', theme: 'paper' }))
        .filter(({ tagName }) => tagName === 'text')
        .map(({ textContent }) => textContent ?? '');
      expect(texts).toContain('Invented data');
      expect(texts).toContain('Measured: 1 m, 2.83 V');
      expect(texts).toContain('From: 72 files');
      expect(texts).toContain('Frequency, Hz');
      for (const panel of figure.panels) expect(texts).toContain(`${panel.y.label}, ${panel.y.unit}`);
    }
  });

  it('draws each curve once, with its colour and dash, and labels it', () => {
    const figure = FIGURES[0];
    if (!figure) throw new Error('No figure.');
    const all = elements(drawSvg(figure, { size: 'screen', theme: 'paper' }));
    const looks = new Set<string>();
    for (const { label } of figure.panels.flatMap(({ series }) => series)) {
      expect(all.filter((e) => e.tagName === 'text' && e.textContent === label)).toHaveLength(1);
    }
    for (const path of all.filter(
      (e) => e.getAttribute('stroke-linejoin') === 'round' && e.tagName === 'path',
    )) {
      looks.add(`${path.getAttribute('stroke')} ${path.getAttribute('stroke-dasharray')}`);
    }
    // Four levels; the two indices wear their parents' looks.
    expect(looks.size).toBe(4);
  });

  it('keeps 25 dB to the width of a decade at every size (IEC 60263, from memory)', () => {
    for (const { size, theme } of everySize) {
      const figure = FIGURES[0];
      if (!figure) throw new Error('No figure.');
      const frames = elements(drawSvg(figure, { size, theme })).filter(
        (e) => e.tagName === 'rect' && e.getAttribute('fill') === 'none',
      );
      figure.panels.forEach((panel, index) => {
        const width = Number(frames[index]?.getAttribute('width'));
        const height = Number(frames[index]?.getAttribute('height'));
        const span = panel.y.domain[1] - panel.y.domain[0];
        expect(height / span / (width / 3)).toBeCloseTo(1 / 25, 4);
      });
    }
  });
});

const HOSTILE = [
  '<script>alert(1)</script>',
  '"><svg onload=alert(1)>',
  "' onmouseover='alert(1)",
  ']]>&lt;&amp;&#x0;&entity;<!--<![CDATA[',
  'a\u0000b\u0008c\u001fd\ufffee\ud800f',
  '\u202egnp.exe\u2066',
  'line\nbreak\ttab\r\n',
  'https://example.invalid/?a=1&b=<2>',
  '𝔘𝔫𝔦𝔠𝔬𝔡𝔢 Ω ≤ 日本語 عربى',
  'x'.repeat(5000),
  '',
];

describe('hostile words', () => {
  it.each(HOSTILE)('stay words: %j', (words) => {
    const hostile: FigureDescription[] = [
      ...describeAnalysis(
        {
          ...RESULT,
          findings: (RESULT.findings ?? []).map((finding) => ({ ...finding, why: words })),
          quality: RESULT.quality.map((finding) => ({
            ...finding,
            code: words,
            message: words,
            file: words,
            ...(finding.evidence
              ? {
                  evidence: {
                    ...finding.evidence,
                    title: words,
                    unit: words,
                    curves: finding.evidence.curves.map((curve) => ({ ...curve, label: words })),
                  },
                }
              : {}),
          })),
        },
        { title: words, conditions: words, provenance: words, invented: true },
      ),
      describeComparison(
        [
          { label: words, result: RESULT },
          { label: words, result: RESULT },
        ],
        'onAxis',
        'as-measured',
        { title: words, invented: true },
      ),
    ].filter((figure) => figure !== undefined);
    expect(hostile.length).toBeGreaterThan(10);
    for (const figure of hostile) {
      for (const size of ['screen', 'phone'] as const) {
        const svg = drawSvg(figure, { size, theme: 'paper' });
        const all = elements(svg);
        expect(all.every(({ tagName }) => ALLOWED.includes(tagName))).toBe(true);
        expect(all.filter(({ tagName }) => tagName === 'svg')).toHaveLength(1);
        expect(all.flatMap((e) => Array.from(e.attributes)).every(({ name }) => !/^on/i.test(name))).toBe(
          true,
        );
        // oxlint-disable-next-line no-control-regex
        expect(svg).not.toMatch(/[\u0000-\u0008\u000e-\u001f\u202e\u2066]/);
      }
    }
  });
});
