/** Two or more units on one figure. */
import type { AnalysisResult, CurveName } from '../../acoustics/analysis.js';
import type { FigureDescription, FigureSeries } from '../description.js';
import { formatQuantity } from '../formatQuantity.js';
import { FREQUENCY_AXIS, HIGHEST_HZ, LEVEL_HEIGHT, LOWEST_HZ, levelAxis } from './axes.js';
import { CURVE_LOOKS, lookAt } from './curveLooks.js';
import { LEVEL_LABEL, indexPanel } from './curvePanels.js';
import { makeFigure, makePanel, makeSeries, valuesWithin, type FigureContext } from './frame.js';

export interface ComparedUnit {
  readonly label: string;
  readonly result: AnalysisResult;
}

/** `as-measured`, or every curve moved so that its unit's sensitivity lies at 0 dB. */
export type ComparisonAlignment = 'as-measured' | 'sensitivity';

/**
 * The same curve of every unit that has it; nothing when fewer than two have. Aligning needs each unit's
 * sensitivity: a unit without one is left out and named in a note.
 */
export function describeComparison(
  units: readonly ComparedUnit[],
  curve: CurveName,
  alignment: ComparisonAlignment,
  context: FigureContext,
): FigureDescription | undefined {
  const isIndex = curve.endsWith('DirectivityIndex');
  const aligned = alignment === 'sensitivity' && !isIndex;
  const usable = units.filter(
    ({ result }) => result.curves?.[curve] !== undefined && (!aligned || result.sensitivity !== undefined),
  );
  if (usable.length < 2) return undefined;
  const series = usable.map((unit, index) => unitSeries(unit, index, curve, aligned));
  const left = units.filter((unit) => !usable.includes(unit)).map(({ label }) => label);
  const { label } = CURVE_LOOKS[curve];
  return makeFigure(
    {
      name: `comparison-${kebab(curve)}`,
      title: `${label}, compared`,
      panels: [isIndex ? indexPanel(series) : comparisonPanel(series, aligned)],
      notes: [
        ...(aligned ? [`Each curve lowered by its unit's sensitivity: ${sensitivities(usable)}.`] : []),
        ...(left.length > 0 ? [`Left out for want of data: ${left.join(', ')}.`] : []),
      ],
      summary: `${label} of ${usable.map((unit) => unit.label).join(', ')}.`,
    },
    context,
  );
}

function unitSeries(unit: ComparedUnit, index: number, curve: CurveName, aligned: boolean): FigureSeries {
  const offset = aligned ? (unit.result.sensitivity?.db ?? 0) : 0;
  const values = (unit.result.curves?.[curve] ?? []).map((value) => value - offset);
  const letter = String.fromCodePoint(65 + (index % 26)) + (index < 26 ? '' : String(Math.floor(index / 26)));
  return makeSeries(
    `unit-${index + 1}`,
    unit.label,
    letter,
    lookAt(index),
    unit.result.frequencyHz ?? [],
    values,
  );
}

function comparisonPanel(series: readonly FigureSeries[], aligned: boolean) {
  const middle = valuesWithin(series, 300, 3000).toSorted((a, b) => a - b);
  const reference = aligned ? 0 : (middle[Math.floor(middle.length / 2)] ?? 85);
  const highest = valuesWithin(series, LOWEST_HZ, HIGHEST_HZ).reduce((a, b) => Math.max(a, b), reference);
  const label = aligned ? 'Level re sensitivity' : LEVEL_LABEL;
  const y = levelAxis(label, 'dB', reference, highest);
  return makePanel({ id: 'level', x: FREQUENCY_AXIS, y, height: LEVEL_HEIGHT, series });
}

function sensitivities(units: readonly ComparedUnit[]): string {
  return units
    .map(({ label, result }) => `${label} ${formatQuantity(result.sensitivity?.db ?? 0, 'dB')}`)
    .join(', ');
}

function kebab(name: string): string {
  return name.replaceAll(/[A-Z]/g, (letter) => `-${letter.toLowerCase()}`);
}
