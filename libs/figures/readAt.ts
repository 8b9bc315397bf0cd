/** What the cursor reads. */
import type { FigureDescription, FigureMap, FigurePanel } from './description.js';
import { formatFrequency, formatNumber, formatQuantity } from './formatQuantity.js';
import { firstAtOrAbove, valueAtFrequency } from './valueAtFrequency.js';

export interface CursorReading {
  readonly frequencyHz: number;
  readonly frequencyText: string;
  readonly rows: readonly CursorRow[];
}

export interface CursorRow {
  readonly panelId: string;
  readonly seriesId: string;
  readonly label: string;
  readonly unit: string;
  /** In full; `null` where the curve has no value there. */
  readonly value: number | null;
  /** For people; a dash where there is no value. */
  readonly text: string;
}

const NO_VALUE = '\u2013';

/** Every curve of a figure at one frequency, in the order of panels and curves. */
export function readAt(description: FigureDescription, frequencyHz: number): CursorReading {
  return {
    frequencyHz,
    frequencyText: formatFrequency(frequencyHz),
    rows: description.panels.flatMap((panel) => panelRows(panel, frequencyHz)),
  };
}

function panelRows(panel: FigurePanel, frequencyHz: number): CursorRow[] {
  const { unit, scale } = panel.y;
  return panel.series.map((series) => {
    const value = valueAtFrequency(series, frequencyHz, scale);
    const text = value === null ? NO_VALUE : formatQuantity(value, unit);
    return { panelId: panel.id, seriesId: series.id, label: series.label, unit, value, text };
  });
}

export interface MapReading {
  readonly frequencyHz: number;
  readonly angleDeg: number;
  readonly levelDb: number | null;
  readonly text: string;
}

/** A map at its measured angle nearest to `angleDeg` (around the circle), between its frequencies. */
export function readMapAt(map: FigureMap, frequencyHz: number, angleDeg: number): MapReading {
  let nearest = 0;
  map.angleDeg.forEach((angle, index) => {
    if (turn(angle, angleDeg) < turn(map.angleDeg[nearest] ?? angle, angleDeg)) nearest = index;
  });
  const angle = map.angleDeg[nearest] ?? angleDeg;
  const levelDb = valueAtFrequency(
    { x: map.frequencyHz, y: map.levelDb[nearest] ?? [] },
    frequencyHz,
    'linear',
  );
  const level = levelDb === null ? NO_VALUE : formatQuantity(levelDb, 'dB');
  const text = `${formatFrequency(frequencyHz)}, ${formatNumber(angle, 0, true)}°: ${level}`;
  return { frequencyHz, angleDeg: angle, levelDb, text };
}

function turn(aDeg: number, bDeg: number): number {
  const apart = Math.abs(aDeg - bDeg) % 360;
  return Math.min(apart, 360 - apart);
}

/**
 * The next data frequency above (`direction` 1) or below (-1) for a cursor moved by keyboard; the same frequency at
 * the ends. `frequencies` of all curves and maps count, within the frequency axis.
 */
export function nextFrequency(
  description: FigureDescription,
  frequencyHz: number,
  direction: 1 | -1,
): number {
  let best = frequencyHz;
  for (const panel of description.panels) {
    const grids = [...panel.series.map(({ x }) => x), ...(panel.map ? [panel.map.frequencyHz] : [])];
    for (const grid of grids) {
      const at = firstAtOrAbove(grid, frequencyHz);
      const next = direction === -1 ? grid[at - 1] : grid[at] === frequencyHz ? grid[at + 1] : grid[at];
      if (next === undefined || next < panel.x.domain[0] || next > panel.x.domain[1]) continue;
      if (best === frequencyHz || (next - best) * direction < 0) best = next;
    }
  }
  return best;
}
