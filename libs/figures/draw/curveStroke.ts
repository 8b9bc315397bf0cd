/** How a curve's line is drawn; the interactive chart uses the same. */
import type { Dash, FigureSeries } from '../description.js';

/** Dash lengths in text sizes. */
const DASHES: Readonly<Record<Dash, readonly number[]>> = {
  solid: [],
  long: [0.8, 0.3],
  short: [0.36, 0.24],
  dots: [0.13, 0.22],
  'dash-dot': [0.75, 0.24, 0.14, 0.24],
};

/** An SVG `stroke-dasharray`; nothing for a solid line. */
export function dashArray(dash: Dash, fontPx: number): string | undefined {
  const lengths = DASHES[dash];
  return lengths.length === 0
    ? undefined
    : lengths.map((length) => Math.round(length * fontPx * 10) / 10).join(' ');
}

/** Line width, px. */
export function curveWidthPx(emphasis: FigureSeries['emphasis'], fontPx: number): number {
  return fontPx * { main: 0.17, normal: 0.125, faint: 0.1 }[emphasis];
}
