/** Whether a place in a panel is free of curves. */
import type { FigureSeries } from '../description.js';
import { firstAtOrAbove } from '../valueAtFrequency.js';
import type { Box } from './figureLayout.js';

/** True where no curve passes through the box. */
export type IsFree = (box: Box) => boolean;

/** A test for boxes in px against all of `series`; errs towards "not free" on steep curves. */
export function clearanceOf(
  series: readonly FigureSeries[],
  xOf: (hz: number) => number,
  yOf: (value: number) => number,
): IsFree {
  const curves = series.map(({ x, y }) => ({
    xs: x.map(xOf),
    ys: y.map((value) => (value === null ? NaN : yOf(value))),
  }));
  return (box) => curves.every(({ xs, ys }) => !passes(xs, ys, box));
}

function passes(xs: readonly number[], ys: readonly number[], box: Box): boolean {
  const right = box.x + box.width;
  const bottom = box.y + box.height;
  for (let index = Math.max(1, firstAtOrAbove(xs, box.x)); index < xs.length; index += 1) {
    if ((xs[index - 1] ?? Infinity) > right) return false;
    const from = ys[index - 1] ?? NaN;
    const to = ys[index] ?? NaN;
    if (Math.max(from, to) >= box.y && Math.min(from, to) <= bottom) return true;
  }
  return false;
}
