/** The evidence of a data-quality finding, as a picture. */
import type { QualityFinding } from '../../acoustics/series.js';
import type { Axis, FigureDescription, FigureSeries, PanelHeight } from '../description.js';
import {
  FREQUENCY_AXIS,
  HIGHEST_HZ,
  LEVEL_HEIGHT,
  LOWEST_HZ,
  holdingAxis,
  levelAxis,
  linearAxis,
  logAxis,
} from './axes.js';
import { lookAt } from './curveLooks.js';
import { makeFigure, makeSeries, makePanel, valuesWithin, type FigureContext } from './frame.js';

/** The finding's curves on one panel, the sentence and the remedy beneath; nothing for a finding without evidence. */
export function describeEvidence(
  finding: QualityFinding,
  name: string,
  context: FigureContext,
): FigureDescription | undefined {
  const { evidence } = finding;
  if (!evidence || evidence.frequencyHz.length === 0 || evidence.curves.length === 0) return undefined;
  const series = evidence.curves.map(({ label, values }, index) =>
    makeSeries(
      `curve-${index + 1}`,
      label,
      `${index + 1}`,
      lookAt(index),
      evidence.frequencyHz,
      isLogarithmic(evidence.unit) ? values.map((v) => (v !== null && v > 0 ? v : null)) : values,
    ),
  );
  const { axis, height } = axisFor(evidence.unit, series);
  const file = finding.file === undefined ? '' : `${finding.file}: `;
  return makeFigure(
    {
      name,
      title: capital(evidence.title),
      panels: [makePanel({ id: 'evidence', x: FREQUENCY_AXIS, y: axis, height, series })],
      notes: [`${file}${finding.message}`],
      summary: `${evidence.title}. ${finding.message}`,
    },
    context,
  );
}

function capital(words: string): string {
  return words.charAt(0).toUpperCase() + words.slice(1);
}

function axisFor(
  unit: string,
  series: readonly FigureSeries[],
): { readonly axis: Axis; readonly height: PanelHeight } {
  const values = valuesWithin(series, LOWEST_HZ, HIGHEST_HZ);
  const lowest = values.reduce((a, b) => Math.min(a, b), Infinity);
  const highest = values.reduce((a, b) => Math.max(a, b), -Infinity);
  const tall: PanelHeight = { kind: 'share', ofWidth: 0.4 };
  if (values.length === 0) return { axis: linearAxis('No values', unit, 0, 10, 5), height: tall };
  if (isLogarithmic(unit)) return { axis: logAxis('Value', unit, lowest, highest), height: tall };
  if (unit === '°') {
    const limit = Math.max(90, Math.ceil(Math.max(-lowest, highest) / 90) * 90);
    return { axis: linearAxis('Phase', unit, -limit, limit, limit / 2), height: tall };
  }
  if (!unit.startsWith('dB')) return { axis: plainAxis(unit, lowest, highest), height: tall };
  if (highest - lowest <= 30) {
    const range = { floor: Math.floor(lowest / 5) * 5, ceiling: Math.ceil(highest / 5) * 5 + 5 };
    const axis = holdingAxis('Level', unit, values, { ...range, step: 5, limit: 1000 });
    return { axis, height: LEVEL_HEIGHT };
  }
  const middle = values.toSorted((a, b) => a - b)[Math.floor(values.length / 2)] ?? highest;
  return { axis: levelAxis('Level', unit, middle, highest), height: LEVEL_HEIGHT };
}

function plainAxis(unit: string, lowest: number, highest: number): Axis {
  const span = Math.max(highest - lowest, Math.abs(highest) * 0.01, 1e-6);
  const rough = span / 5;
  const power = 10 ** Math.floor(Math.log10(rough));
  const step = ([1, 2, 5, 10].find((digit) => digit * power >= rough) ?? 10) * power;
  const low = (Math.ceil(lowest / step) - 1) * step;
  const high = (Math.floor(highest / step) + 1) * step;
  return linearAxis('Value', unit, low, high, step);
}

function isLogarithmic(unit: string): boolean {
  return unit === '%' || unit === 'Ω' || unit === 'ohm';
}
