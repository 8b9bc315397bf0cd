/** One curve read at one frequency. */
import type { FigureSeries } from './description.js';

/**
 * The curve's value at `hz`: straight between its points over log frequency (and over the logarithm of the value on
 * a logarithmic axis). `null` beyond its ends and inside gaps. Assumes rising frequencies.
 */
export function valueAtFrequency(
  series: Pick<FigureSeries, 'x' | 'y'>,
  hz: number,
  valueScale: 'log' | 'linear',
): number | null {
  const { x, y } = series;
  const above = firstAtOrAbove(x, hz);
  if (above >= x.length) return null;
  const right = y[above] ?? null;
  if (x[above] === hz) return right;
  const left = above > 0 ? (y[above - 1] ?? null) : null;
  if (left === null || right === null) return null;
  const from = x[above - 1] ?? hz;
  const to = x[above] ?? hz;
  const share = Math.log(hz / from) / Math.log(to / from);
  if (!Number.isFinite(share)) return null;
  if (valueScale === 'log' && left > 0 && right > 0) return left * (right / left) ** share;
  return left + share * (right - left);
}

/** As `valueAtFrequency`; beyond the ends and in gaps the value nearest in log frequency. `null` without any value. */
export function valueAtOrNear(
  series: Pick<FigureSeries, 'x' | 'y'>,
  hz: number,
  valueScale: 'log' | 'linear',
): number | null {
  const read = valueAtFrequency(series, hz, valueScale);
  if (read !== null) return read;
  let nearest: number | null = null;
  let least = Infinity;
  series.x.forEach((frequency, index) => {
    const value = series.y[index] ?? null;
    const away = Math.abs(Math.log(frequency / hz));
    if (value === null || away >= least) return;
    least = away;
    nearest = value;
  });
  return nearest;
}

/** The index of the first frequency not below `hz`; the length when there is none. */
export function firstAtOrAbove(frequencies: readonly number[], hz: number): number {
  let low = 0;
  let high = frequencies.length;
  while (low < high) {
    const middle = (low + high) >> 1;
    if ((frequencies[middle] ?? Infinity) < hz) low = middle + 1;
    else high = middle;
  }
  return low;
}
