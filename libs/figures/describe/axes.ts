/** The axes every figure is built from. */
import type { Axis, AxisTick, PanelHeight } from '../description.js';
import { formatNumber } from '../formatQuantity.js';

export const LOWEST_HZ = 20;
export const HIGHEST_HZ = 20_000;

/** IEC 60263 [from memory]: 25 dB take the width of one frequency decade. */
export const LEVEL_HEIGHT: PanelHeight = { kind: 'ratio', dbPerDecade: 25 };
/** Small departures are drawn five times as tall, and the figure says so. */
export const DEPARTURE_HEIGHT: PanelHeight = { kind: 'ratio', dbPerDecade: 5 };
export const DEPARTURE_NOTE = 'Vertical scale five times that of the response figures.';

const FREQUENCY_TICKS: readonly AxisTick[] = [
  [20, '20'],
  [50, '50'],
  [100, '100'],
  [200, '200'],
  [500, '500'],
  [1000, '1k'],
  [2000, '2k'],
  [5000, '5k'],
  [10_000, '10k'],
  [20_000, '20k'],
].map(([value, text]) => ({ value: Number(value), text: String(text) }));

const FREQUENCY_MINOR = [1, 10, 100, 1000, 10_000]
  .flatMap((decade) => [1, 2, 3, 4, 5, 6, 7, 8, 9].map((digit) => digit * decade))
  .filter((hz) => hz > LOWEST_HZ && hz < HIGHEST_HZ && !FREQUENCY_TICKS.some((tick) => tick.value === hz));

export const FREQUENCY_AXIS: Axis = {
  label: 'Frequency',
  unit: 'Hz',
  scale: 'log',
  domain: [LOWEST_HZ, HIGHEST_HZ],
  ticks: FREQUENCY_TICKS,
  minor: FREQUENCY_MINOR,
};

/** A linear axis with a labelled line every `step`, from `low` to `high`, both multiples of `step`. */
export function linearAxis(
  label: string,
  unit: string,
  low: number,
  high: number,
  step: number,
  minorStep?: number,
): Axis {
  const ticks = multiples(low, high, step).map((value) => ({ value, text: formatNumber(value) }));
  const minor = minorStep === undefined ? [] : multiples(low, high, minorStep).filter((v) => v % step !== 0);
  return { label, unit, scale: 'linear', domain: [low, high], ticks, minor };
}

/** A logarithmic axis over whole 1-2-5 steps that hold `low` and `high` (both > 0). */
export function logAxis(label: string, unit: string, low: number, high: number): Axis {
  const all = Array.from({ length: 12 }, (_, index) => index - 5).flatMap((power) =>
    [1, 2, 5].map((digit) => Number((digit * 10 ** power).toPrecision(1))),
  );
  const from = all.findLast((value) => value <= low) ?? 1e-5;
  const to = all.find((value) => value >= high) ?? 5e6;
  const ticks = all.filter((v) => v >= from && v <= to).map((value) => ({ value, text: String(value) }));
  const minor = [3, 4, 6, 7, 8, 9]
    .flatMap((digit) => Array.from({ length: 12 }, (_, index) => digit * 10 ** (index - 5)))
    .filter((value) => value > from && value < to);
  return { label, unit, scale: 'log', domain: [from, to], ticks, minor };
}

/**
 * A level window of 50 dB about `referenceDb`, rounded to 5 dB: 35 below, 15 above. Where the highest value needs
 * more, the top rises by up to 35 dB and the bottom follows only to keep the window within 75 dB.
 */
export function levelAxis(label: string, unit: string, referenceDb: number, highestDb: number): Axis {
  const centre = Math.round(referenceDb / 5) * 5;
  const wanted = Math.ceil((highestDb + 1) / 5) * 5;
  const high = Math.min(Math.max(centre + 15, wanted), centre + 50);
  const low = Math.max(high - 75, Math.min(centre - 35, high - 50));
  return linearAxis(label, unit, low, high, 10 * Math.ceil((high - low) / 80), 5);
}

/** A linear axis in steps of `step` that holds every value, at least `floor`..`ceiling`, at most `limit` either way. */
export function holdingAxis(
  label: string,
  unit: string,
  values: readonly number[],
  range: { readonly floor: number; readonly ceiling: number; readonly step: number; readonly limit: number },
): Axis {
  const { floor, ceiling, step, limit } = range;
  const lowest = Math.min(floor, ...boundsOf(values));
  const highest = Math.max(ceiling, ...boundsOf(values));
  const low = Math.max(-limit, Math.floor(lowest / step) * step);
  const high = Math.min(limit, Math.ceil(highest / step) * step);
  const stretch = Math.ceil((high - low) / step / 8);
  return linearAxis(label, unit, low, high, step * stretch, stretch > 1 ? step : undefined);
}

function boundsOf(values: readonly number[]): number[] {
  let low = Infinity;
  let high = -Infinity;
  for (const value of values) {
    if (value < low) low = value;
    if (value > high) high = value;
  }
  return low > high ? [] : [low, high];
}

function multiples(low: number, high: number, step: number): number[] {
  const first = Math.ceil(low / step - 1e-9);
  const count = Math.floor(high / step + 1e-9) - first + 1;
  return Array.from({ length: Math.max(0, count) }, (_, index) =>
    Number(((first + index) * step).toFixed(6)),
  );
}
