/** Says what a panel's axes cannot hold. */
import type { FigurePanel, FigureSeries } from '../description.js';
import { formatFrequency, formatFrequencyRange, formatQuantity } from '../formatQuantity.js';
import { inWords } from './inWords.js';

type Range = readonly [number, number];

/** More separate stretches than this are summed up as one. */
const MOST_STRETCHES = 2;

/**
 * One sentence per side of the panel that has points beyond it: which curves, at which frequencies. Data left or
 * right of the frequency axis is mentioned too: it is in the table and the CSV.
 */
export function outsideNotes(panel: FigurePanel): string[] {
  const [low, high] = panel.y.domain;
  const notes = [
    sideNote(panel, 'below', low, (value) => value < low),
    sideNote(panel, 'above', high, (value) => value > high),
    beyondFrequencies(panel),
  ];
  return notes.filter((note) => note !== undefined);
}

function sideNote(
  panel: FigurePanel,
  side: 'below' | 'above',
  limit: number,
  isOutside: (value: number) => boolean,
): string | undefined {
  const found = panel.series
    .map((series) => ({
      label: series.label,
      stretches: outsideStretches(series, panel.x.domain, isOutside),
    }))
    .filter(({ stretches }) => stretches.length > 0);
  if (found.length === 0) return undefined;
  const who = found.length > 4 ? `${found.length} curves` : inWords(found.map(({ label }) => label));
  const where = inRanges(found.flatMap(({ stretches }) => stretches));
  return `Not drawn, ${side} ${formatQuantity(limit, panel.y.unit)}: ${who}, ${where}.`;
}

/** Runs of neighbouring points outside. */
function outsideStretches(
  { x, y }: FigureSeries,
  [fromHz, toHz]: Range,
  isOutside: (value: number) => boolean,
): Range[] {
  const stretches: Range[] = [];
  let start: number | undefined;
  let last = 0;
  x.forEach((hz, index) => {
    const value = y[index] ?? null;
    const outside = value !== null && hz >= fromHz && hz <= toHz && isOutside(value);
    if (outside) {
      start ??= hz;
      last = hz;
    } else if (start !== undefined) {
      stretches.push([start, last]);
      start = undefined;
    }
  });
  if (start !== undefined) stretches.push([start, last]);
  return stretches;
}

function inRanges(stretches: readonly Range[]): string {
  const merged: Range[] = [];
  for (const [from, to] of stretches.toSorted((a, b) => a[0] - b[0])) {
    const before = merged.at(-1);
    if (before && from <= before[1] * 1.06) merged[merged.length - 1] = [before[0], Math.max(before[1], to)];
    else merged.push([from, to]);
  }
  const [first, last] = [merged[0]?.[0] ?? 0, merged.at(-1)?.[1] ?? 0];
  if (merged.length > MOST_STRETCHES) return `in parts of ${formatFrequencyRange(first, last)}`;
  return `at ${merged.map(([from, to]) => formatFrequencyRange(from, to)).join(' and ')}`;
}

function beyondFrequencies(panel: FigurePanel): string | undefined {
  const [fromHz, toHz] = panel.x.domain;
  const all = panel.series.flatMap(({ x }) => [x[0] ?? fromHz, x.at(-1) ?? toHz]);
  const lowest = Math.min(fromHz, ...all);
  const highest = Math.max(toHz, ...all);
  // A grid's last point may sit a hair beyond the axis; that is not worth a sentence.
  if (lowest > fromHz * 0.97 && highest < toHz * 1.03) return undefined;
  return `The data runs from ${formatFrequency(lowest)} to ${formatFrequency(highest)}; all of it is in the table.`;
}
