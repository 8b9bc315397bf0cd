import { describe, expect, it } from 'vitest';
import { readFigureFont } from '../png/figureFonts.js';
import { fontAdvances } from '../testing/fontAdvances.js';
import { shortenText, textWidthPx, wrapText } from './textWidth.js';

describe('textWidthPx', () => {
  it.each([400, 700] as const)('agrees with the advances in the font file at weight %i', (weight) => {
    const latin = fontAdvances(readFigureFont('latin', weight));
    const greek = fontAdvances(readFigureFont('greek', weight));
    for (let code = 0x20; code < 0x7f; code += 1) {
      const letter = String.fromCodePoint(code);
      expect(Math.abs(textWidthPx(letter, 1000, weight) - (latin(letter) ?? NaN))).toBeLessThan(1);
    }
    // Wider than it is does no harm: nothing then collides.
    for (const letter of '°±\u2212\u2013×·…’ΩäéñøÅ') {
      const advance = latin(letter) ?? greek(letter) ?? NaN;
      const measured = textWidthPx(letter, 1000, weight);
      expect(measured).toBeGreaterThanOrEqual(advance - 1);
      expect(measured).toBeLessThanOrEqual(advance + 480);
    }
  });
});

describe('shortenText', () => {
  it('leaves alone what fits and cuts what does not, never wider than asked', () => {
    expect(shortenText('Early reflections', 400, 12)).toBe('Early reflections');
    const short = shortenText('A loudspeaker with a very long name indeed', 80, 12);
    expect(short).toMatch(/^A loud.*…$/);
    expect(textWidthPx(short, 12)).toBeLessThanOrEqual(80);
  });

  it('does not cut a letter made of two code units in half', () => {
    expect(shortenText('🔊🔊🔊🔊🔊🔊', 50, 12)).toMatch(/^(?:🔊)+…$/u);
  });
});

describe('wrapText', () => {
  it('keeps every word, in order, on lines no wider than asked', () => {
    const text = 'The horizontal and the vertical 0 degree curves differ by up to 4.1 dB. Remeasure both.';
    const lines = wrapText(text, 150, 12);
    expect(lines.join(' ')).toBe(text);
    for (const line of lines) expect(textWidthPx(line, 12)).toBeLessThanOrEqual(150);
  });

  it('breaks a word that is wider than the line', () => {
    const lines = wrapText('x'.repeat(100), 100, 12, 50);
    expect(lines.join('')).toBe('x'.repeat(100));
    for (const line of lines) expect(textWidthPx(line, 12)).toBeLessThanOrEqual(100);
  });

  it('cuts a text that would fill the page, and shows that it did', () => {
    const lines = wrapText('word '.repeat(1000), 150, 12, 4);
    expect(lines).toHaveLength(4);
    expect(lines[3]).toMatch(/…$/);
  });
});
