/** Says what a panel's axes cannot hold. */
import type { FigurePanel, FigureSeries } from '../description.js';
import { formatFrequency, formatFrequencyRange, formatQuantity } from '../formatQuantity.js';
import { inWords } from './inWords.js';

interface Outside {
  readonly labels: string[];
  fromHz: number;
  toHz: number;
}

/**
 * One sentence per side of the panel that has points beyond it: which curves, at which frequencies. Data left or
 * right of the frequency axis is mentioned too: it is in the table and the CSV.
 */
export function outsideNotes(panel: FigurePanel): string[] {
  const [low, high] = panel.y.domain;
  const below = gather(panel, (value) => value < low);
  const above = gather(panel, (value) => value > high);
  const notes: string[] = [];
  if (below) notes.push(sentence(below, 'below', low, panel.y.unit));
  if (above) notes.push(sentence(above, 'above', high, panel.y.unit));
  const beyond = beyondFrequencies(panel);
  if (beyond) notes.push(beyond);
  return notes;
}

function gather(panel: FigurePanel, isOutside: (value: number) => boolean): Outside | undefined {
  const found: Outside = { labels: [], fromHz: Infinity, toHz: -Infinity };
  for (const series of panel.series) {
    const frequencies = outsideFrequencies(series, panel.x.domain, isOutside);
    const first = frequencies[0];
    const last = frequencies.at(-1);
    if (first === undefined || last === undefined) continue;
    found.labels.push(series.label);
    found.fromHz = Math.min(found.fromHz, first);
    found.toHz = Math.max(found.toHz, last);
  }
  return found.labels.length === 0 ? undefined : found;
}

function outsideFrequencies(
  series: FigureSeries,
  [fromHz, toHz]: readonly [number, number],
  isOutside: (value: number) => boolean,
): number[] {
  return series.x.filter((hz, index) => {
    const value = series.y[index];
    return hz >= fromHz && hz <= toHz && value !== null && value !== undefined && isOutside(value);
  });
}

function sentence(outside: Outside, side: 'below' | 'above', limit: number, unit: string): string {
  const where = formatFrequencyRange(outside.fromHz, outside.toHz);
  const who = outside.labels.length > 4 ? `${outside.labels.length} curves` : inWords(outside.labels);
  return `Not drawn, ${side} ${formatQuantity(limit, unit)}: ${who}, within ${where}.`;
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
