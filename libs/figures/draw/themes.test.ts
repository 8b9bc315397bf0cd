import { describe, expect, it } from 'vitest';
import { THEMES, type FigureTheme } from './themes.js';

type Rgb = readonly [number, number, number];
type Matrix = readonly [Rgb, Rgb, Rgb];

/** Machado, Oliveira, Fernandes 2009, "A physiologically-based model for simulation of color vision deficiency", severity 1.0; for linear RGB. */
const SIGHTS: Readonly<Record<string, Matrix>> = {
  normal: [
    [1, 0, 0],
    [0, 1, 0],
    [0, 0, 1],
  ],
  protan: [
    [0.152286, 1.052583, -0.204868],
    [0.114503, 0.786281, 0.099216],
    [-0.003882, -0.048116, 1.051998],
  ],
  deutan: [
    [0.367322, 0.860646, -0.227968],
    [0.280085, 0.672501, 0.047413],
    [-0.01182, 0.04294, 0.968881],
  ],
  tritan: [
    [1.255528, -0.076749, -0.178779],
    [-0.078411, 0.930809, 0.147602],
    [0.004733, 0.691367, 0.3039],
  ],
};
/** sRGB to XYZ, IEC 61966-2-1, white D65. */
const TO_XYZ: Matrix = [
  [0.4124564, 0.3575761, 0.1804375],
  [0.2126729, 0.7151522, 0.072175],
  [0.0193339, 0.119192, 0.9503041],
];

function linear(hex: string): Rgb {
  const channel = (at: number) => {
    const share = Number.parseInt(hex.slice(at, at + 2), 16) / 255;
    return share <= 0.04045 ? share / 12.92 : ((share + 0.055) / 1.055) ** 2.4;
  };
  return [channel(1), channel(3), channel(5)];
}

function times(matrix: Matrix, [a, b, c]: Rgb): Rgb {
  const row = (r: Rgb) => r[0] * a + r[1] * b + r[2] * c;
  return [row(matrix[0]), row(matrix[1]), row(matrix[2])];
}

/** WCAG 2.2 contrast ratio. */
function contrast(one: string, other: string): number {
  const luminance = (hex: string) => times(TO_XYZ, linear(hex))[1];
  const [low, high] = [luminance(one), luminance(other)].toSorted((a, b) => a - b) as [number, number];
  return (high + 0.05) / (low + 0.05);
}

/** CIE 1976 L*a*b* of a colour as seen by one kind of sight. */
function lab(hex: string, sight: Matrix): Rgb {
  const seen = times(sight, linear(hex)).map((v) => Math.min(Math.max(v, 0), 1)) as unknown as Rgb;
  const [x, y, z] = times(TO_XYZ, seen);
  const f = (t: number) => (t > 216 / 24389 ? Math.cbrt(t) : ((24389 / 27) * t + 16) / 116);
  const [fx, fy, fz] = [f(x / 0.95047), f(y), f(z / 1.08883)];
  return [116 * fy - 16, 500 * (fx - fy), 200 * (fy - fz)];
}

function apart(one: string, other: string, sight: Matrix): number {
  const a = lab(one, sight);
  const b = lab(other, sight);
  return Math.hypot(a[0] - b[0], a[1] - b[1], a[2] - b[2]);
}

const themes: [string, FigureTheme][] = Object.entries(THEMES);

describe.each(themes)('theme %s', (_, theme) => {
  it('gives every curve at least 3:1 against the background (WCAG 2.2, 1.4.11)', () => {
    for (const colour of theme.curves) {
      expect(contrast(colour, theme.background)).toBeGreaterThanOrEqual(3);
      expect(contrast(colour, theme.zone)).toBeGreaterThanOrEqual(3);
    }
  });

  it('gives all text at least 4.5:1, also on shaded stretches (WCAG 2.2, 1.4.3)', () => {
    for (const text of [theme.ink, theme.quiet]) {
      for (const ground of [theme.background, theme.zone]) {
        expect(contrast(text, ground)).toBeGreaterThanOrEqual(4.5);
      }
    }
  });

  it('keeps grids quieter than every curve', () => {
    for (const colour of theme.curves) {
      expect(contrast(colour, theme.background)).toBeGreaterThan(
        contrast(theme.grid, theme.background) * 1.4,
      );
    }
  });

  it.each(Object.entries(SIGHTS))('keeps every two curves apart for %s sight', (_, sight) => {
    theme.curves.forEach((one, index) => {
      for (const other of theme.curves.slice(index + 1)) {
        expect(apart(one, other, sight)).toBeGreaterThanOrEqual(15);
      }
    });
  });
});
