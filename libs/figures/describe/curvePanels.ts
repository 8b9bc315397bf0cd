/** Panels made of an analysis' named curves. */
import type { AnalysisResult, CurveName } from '../../acoustics/analysis.js';
import type { FigureMark, FigurePanel, FigureSeries, FigureZone } from '../description.js';
import { FREQUENCY_AXIS, LEVEL_HEIGHT, HIGHEST_HZ, LOWEST_HZ, holdingAxis, levelAxis } from './axes.js';
import { CURVE_LOOKS } from './curveLooks.js';
import { makePanel, makeSeries, valuesWithin } from './frame.js';

export const LEVEL_LABEL = 'Sound pressure level at 2.83 V, 1 m';
export const INDEX_LABEL = 'Directivity index';

/** The named curves the analysis has, in the order asked for. */
export function curveSeries(result: AnalysisResult, names: readonly CurveName[]): FigureSeries[] {
  const frequencyHz = result.frequencyHz ?? [];
  return names.flatMap((name) => {
    const values = result.curves?.[name];
    if (values === undefined || values.length === 0) return [];
    const { label, shortLabel, slot, dash } = CURVE_LOOKS[name];
    const emphasis = name === 'onAxis' ? 'main' : 'normal';
    return [makeSeries(name, label, shortLabel, { slot, dash, emphasis }, frequencyHz, values)];
  });
}

/** The level the response figures are centred on: the stated sensitivity, else the median of the middle band. */
export function referenceLevelDb(result: AnalysisResult, series: readonly FigureSeries[]): number {
  if (result.sensitivity) return result.sensitivity.db;
  const middle = valuesWithin(series, 300, 3000);
  const values = middle.length > 0 ? middle : valuesWithin(series, LOWEST_HZ, HIGHEST_HZ);
  const sorted = values.toSorted((a, b) => a - b);
  return sorted[Math.floor(sorted.length / 2)] ?? 85;
}

export interface PanelExtras {
  readonly marks?: readonly FigureMark[];
  readonly zones?: readonly FigureZone[];
}

/** Levels on the house's fixed ratio of dB to decade. */
export function levelPanel(
  result: AnalysisResult,
  series: readonly FigureSeries[],
  extras: PanelExtras = {},
): FigurePanel {
  const highest = valuesWithin(series, LOWEST_HZ, HIGHEST_HZ).reduce((a, b) => Math.max(a, b), -Infinity);
  const reference = referenceLevelDb(result, series);
  return makePanel({
    id: 'level',
    x: FREQUENCY_AXIS,
    y: levelAxis(LEVEL_LABEL, 'dB', reference, Number.isFinite(highest) ? highest : reference),
    height: LEVEL_HEIGHT,
    series,
    ...extras,
  });
}

/** Directivity indices: 0 to 15 dB, more where the data needs it. */
export function indexPanel(series: readonly FigureSeries[], extras: PanelExtras = {}): FigurePanel {
  const values = valuesWithin(series, LOWEST_HZ, HIGHEST_HZ);
  const y = holdingAxis(INDEX_LABEL, 'dB', values, { floor: 0, ceiling: 15, step: 5, limit: 30 });
  return makePanel({ id: 'index', x: FREQUENCY_AXIS, y, height: LEVEL_HEIGHT, series, ...extras });
}
