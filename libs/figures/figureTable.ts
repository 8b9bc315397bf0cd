/** The table behind a figure: every number it draws, in full. */
import type { FigureDescription, FigurePanel, FigureSeries } from './description.js';

export interface FigureTable {
  /** The first column is frequency in Hz. */
  readonly columns: readonly string[];
  /** Values as stored, unrounded; `null` where a curve has none at that frequency. */
  readonly rows: readonly (readonly (number | null)[])[];
}

/**
 * One row per frequency that any curve has, one column per curve (or per angle of a map), labelled with its unit.
 * Curves on one grid line up; curves on different grids leave gaps, nothing is interpolated. A frequency that one
 * curve holds twice gets its last value.
 */
export function figureTable(description: FigureDescription): FigureTable {
  const columns = description.panels.flatMap(panelColumns);
  const frequencies = [...new Set(columns.flatMap(({ x }) => x))].toSorted((a, b) => a - b);
  const rowOf = new Map(frequencies.map((hz, index) => [hz, index]));
  const rows = frequencies.map((hz): (number | null)[] => [hz, ...columns.map(() => null)]);
  columns.forEach(({ x, y }, column) => {
    x.forEach((hz, index) => {
      const row = rows[rowOf.get(hz) ?? -1];
      if (row) row[column + 1] = y[index] ?? null;
    });
  });
  return { columns: ['frequency_hz', ...distinct(columns.map(({ label }) => label))], rows };
}

interface Column {
  readonly label: string;
  readonly x: readonly number[];
  readonly y: readonly (number | null)[];
}

function panelColumns(panel: FigurePanel): Column[] {
  const unit = panel.y.unit;
  const curves = panel.series.map((series: FigureSeries) => ({
    label: unit === '' ? series.label : `${series.label} (${unit})`,
    x: series.x,
    y: series.y,
  }));
  const { map } = panel;
  if (!map) return curves;
  const angles = map.angleDeg.map((angleDeg, index) => ({
    label: `angle ${angleDeg} deg (dB re on axis)`,
    x: map.frequencyHz,
    y: map.levelDb[index] ?? [],
  }));
  return [...curves, ...angles];
}

/** Two columns never share a heading. */
function distinct(labels: readonly string[]): string[] {
  const seen = new Map<string, number>();
  return labels.map((label) => {
    const count = (seen.get(label) ?? 0) + 1;
    seen.set(label, count);
    return count === 1 ? label : `${label} [${count}]`;
  });
}
