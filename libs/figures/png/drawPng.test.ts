import { readFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import { Resvg } from '@resvg/resvg-js';
import { describe, expect, it } from 'vitest';
import { describeOnAndOffAxis } from '../describe/responseFigures.js';
import { describeDirectivityMap } from '../describe/directivityFigures.js';
import { drawSvg } from '../draw/drawSvg.js';
import { inventedResult } from '../testing/inventedResult.js';
import { drawPng, drawPngAside } from './drawPng.js';
import { readFigureFont } from './figureFonts.js';
import { woffToSfnt } from './woffToSfnt.js';

const RESULT = inventedResult();
const fontFile = createRequire(import.meta.url).resolve(
  '@fontsource/sofia-sans/files/sofia-sans-latin-400-normal.woff',
);
const CONTEXT = { title: 'Invented Two', invented: true };

function sizeOf(png: Uint8Array): { width: number; height: number } {
  const bytes = Buffer.from(png);
  expect(bytes.subarray(0, 8)).toEqual(Buffer.from([137, 80, 78, 71, 13, 10, 26, 10]));
  return { width: bytes.readUInt32BE(16), height: bytes.readUInt32BE(20) };
}

/** Colour of the pixel at x, y, read through the renderer itself from an embedded PNG. */
function pixels(png: Uint8Array): { at: (x: number, y: number) => readonly number[] } {
  const { width, height } = sizeOf(png);
  const href = `data:image/png;base64,${Buffer.from(png).toString('base64')}`;
  const rendered = new Resvg(
    `<svg xmlns="http://www.w3.org/2000/svg" width="${width}" height="${height}"><image width="${width}" height="${height}" href="${href}"/></svg>`,
  ).render().pixels;
  return { at: (x, y) => [...rendered.subarray(4 * (y * width + x), 4 * (y * width + x) + 3)] };
}

const text = (words: string, family: string, weight = 400) =>
  `<svg xmlns="http://www.w3.org/2000/svg" width="400" height="40"><rect width="400" height="40" fill="#fff"/><text x="4" y="28" font-size="24" font-family="${family}" font-weight="${weight}" fill="#000">${words}</text></svg>`;

describe('drawPng', () => {
  it('draws a figure at the width asked for, in proportion', () => {
    const figure = describeOnAndOffAxis(RESULT, CONTEXT);
    if (!figure) throw new Error('No figure.');
    const svg = drawSvg(figure, { size: 'screen', theme: 'night' });
    const ratio = Number(/viewBox="0 0 \d+ (\d+)"/.exec(svg)?.[1]) / 960;
    for (const width of [480, 960, 1600]) {
      const size = sizeOf(drawPng(svg, width));
      expect(size.width).toBe(width);
      expect(Math.abs(size.height - width * ratio)).toBeLessThan(1.5);
    }
    expect(pixels(drawPng(svg, 480)).at(2, 2)).toEqual([0x11, 0x16, 0x1f]);
  });

  it('shows a map: light on axis, dark at the side in the treble', () => {
    const figure = describeDirectivityMap(RESULT, 'horizontal', CONTEXT);
    if (!figure) throw new Error('No figure.');
    const { at } = pixels(drawPng(drawSvg(figure, { size: 'screen', theme: 'paper' }), 960));
    const sum = (x: number, y: number) => at(x, y).reduce((a, b) => a + b, 0);
    expect(sum(100, 310)).toBeGreaterThan(600);
    expect(sum(870, 110)).toBeLessThan(200);
  });

  it.each(['Listening window', 'Ω ° \u2212 ±', 'Łódź', 'Привет'])(
    'has letters for %s in the bundled font',
    (words) => {
      const blank = drawPng(text('', 'Sofia Sans'), 400);
      const written = drawPng(text(words, 'Sofia Sans'), 400);
      expect(Buffer.compare(Buffer.from(written), Buffer.from(blank))).not.toBe(0);
      // Any other family falls back to the same bundled font, so no machine font has a say.
      expect(
        Buffer.compare(Buffer.from(drawPng(text(words, 'DejaVu Sans'), 400)), Buffer.from(written)),
      ).toBe(0);
    },
  );

  it('has a bold of its own', () => {
    const bold = drawPng(text('Invented data', 'Sofia Sans', 700), 400);
    expect(
      Buffer.compare(Buffer.from(bold), Buffer.from(drawPng(text('Invented data', 'Sofia Sans'), 400))),
    ).not.toBe(0);
  });

  it('refuses sizes out of range and text that is no SVG', () => {
    expect(() => drawPng(text('a', 'b'), 0)).toThrow(RangeError);
    expect(() => drawPng(text('a', 'b'), 1e9)).toThrow(RangeError);
    expect(() => drawPng('not an SVG', 100)).toThrow(/unknown token|SVG/i);
  });
});

describe('woffToSfnt', () => {
  it('rebuilds a font whose every table has the checksum its directory states', () => {
    const font = readFigureFont('latin', 400);
    const view = new DataView(font.buffer, font.byteOffset, font.byteLength);
    const count = view.getUint16(4);
    expect(view.getUint32(0)).toBe(0x00010000);
    expect(count).toBeGreaterThan(8);
    for (let index = 0; index < count; index += 1) {
      const entry = 12 + 16 * index;
      const tag = String.fromCharCode(...font.subarray(entry, entry + 4));
      const offset = view.getUint32(entry + 8);
      let sum = 0;
      for (let at = 0; at < view.getUint32(entry + 12); at += 4) {
        // The head table's own checkSumAdjustment counts as zero (OpenType specification).
        if (!(tag === 'head' && at === 8)) sum = (sum + view.getUint32(offset + at)) >>> 0;
      }
      expect([tag, sum]).toEqual([tag, view.getUint32(entry + 4)]);
    }
  });

  it('refuses what is not a WOFF font, and a damaged one', () => {
    expect(() => woffToSfnt(new Uint8Array(100))).toThrow(/Not a WOFF 1.0 font/);
    const whole = readFileSync(fontFile);
    const damaged = whole.map((byte, index) => (index > 5000 && index < 5100 ? 0 : byte));
    expect(() => woffToSfnt(damaged)).toThrow(/Damaged|invalid|incorrect/i);
    expect(() => woffToSfnt(whole.subarray(0, 3000))).toThrow(/Damaged|unexpected end|incorrect/i);
  });

  it('draws the same bytes aside', async () => {
    const figure = describeOnAndOffAxis(RESULT, CONTEXT);
    const svg = figure ? drawSvg(figure, { size: 'screen', theme: 'paper' }) : '';
    expect(Buffer.from(await drawPngAside(svg, 800)).equals(Buffer.from(drawPng(svg, 800)))).toBe(true);
    await expect(drawPngAside(svg, 0)).rejects.toThrow('from 1 to 8000');
    await expect(drawPngAside('no drawing', 100)).rejects.toThrow('parsing failed');
  });
});
