/** What happens when it gets loud: harmonic distortion, multitone distortion, compression. */
import type { AnalysisResult, Compression, Distortion, Finding } from '../../acoustics/analysis.js';
import type { Axis, FigureDescription, FigureMark, FigureSeries, FigureZone } from '../description.js';
import { formatFrequencyRange, formatQuantity } from '../formatQuantity.js';
import {
  DEPARTURE_HEIGHT,
  DEPARTURE_NOTE,
  FREQUENCY_AXIS,
  HIGHEST_HZ,
  LEVEL_HEIGHT,
  LOWEST_HZ,
  holdingAxis,
  logAxis,
} from './axes.js';
import { lookAt } from './curveLooks.js';
import { makeMark } from './findingMarks.js';
import { makeFigure, makePanel, makeSeries, valuesWithin, type FigureContext } from './frame.js';

const GUIDE_3_PERCENT = { value: 3, label: '3 %' };
const LOWEST_PERCENT = 0.01;

/** THD and its harmonics at one level, percent of the fundamental on a scale of 20 dB per decade of percent. */
export function describeDistortion(
  result: AnalysisResult,
  distortion: Distortion,
  context: FigureContext,
): FigureDescription | undefined {
  if (distortion.frequencyHz.length === 0) return undefined;
  const level = formatQuantity(distortion.levelDb, 'dB');
  const series = distortionSeries(distortion);
  const zones = distortion.above3Percent.map(zoneOver('Over 3 %'));
  const marks = levelMarks(result.findings ?? [], 'distortion', series[0], zones);
  const over = inRanges(distortion.above3Percent);
  return makeFigure(
    {
      name: `distortion-${nameOf(distortion.levelDb)}-db`,
      title: `Harmonic distortion at ${level}`,
      panels: [
        makePanel({
          id: 'percent',
          x: FREQUENCY_AXIS,
          y: percentAxis('Harmonics over the fundamental', series),
          height: LEVEL_HEIGHT,
          series,
          zones,
          guides: [GUIDE_3_PERCENT],
          marks,
        }),
      ],
      notes: [
        'THD is THD_F: all harmonics over the fundamental. 3 % is a guide line, common practice, no source.',
      ],
      summary: `Harmonic distortion at ${level} at 1 m against frequency; ${over}.`,
    },
    context,
  );
}

/** Everything between the tones of a multitone, percent of the tones, one curve per level. */
export function describeMultitone(
  result: AnalysisResult,
  context: FigureContext,
): FigureDescription | undefined {
  const levels = (result.multitone ?? [])
    .filter(({ frequencyHz }) => frequencyHz.length > 0)
    .toSorted((a, b) => a.levelDb - b.levelDb);
  if (levels.length === 0) return undefined;
  const series = levels.map(({ levelDb, frequencyHz, distortionPercent }, index) => {
    const label = formatQuantity(levelDb, 'dB');
    return makeSeries(
      `level-${nameOf(levelDb)}`,
      label,
      label,
      lookAt(index),
      frequencyHz,
      positive(distortionPercent),
    );
  });
  const totals = levels.map(
    ({ levelDb, totalPercent }) =>
      `${formatQuantity(levelDb, 'dB')}: ${formatQuantity(totalPercent, '%')} in total`,
  );
  return makeFigure(
    {
      name: 'multitone',
      title: 'Multitone distortion and noise',
      panels: [
        makePanel({
          id: 'percent',
          x: FREQUENCY_AXIS,
          y: percentAxis('Distortion and noise over the tones', series),
          height: LEVEL_HEIGHT,
          series,
          guides: [GUIDE_3_PERCENT],
        }),
      ],
      notes: [`${totals.join('; ')}.`, '3 % is a guide line, common practice, no source.'],
      summary: `Multitone distortion and noise per band. ${totals.join('; ')}.`,
    },
    context,
  );
}

/** What the response loses at each level against the lowest one, less the level step. */
export function describeCompression(
  result: AnalysisResult,
  context: FigureContext,
): FigureDescription | undefined {
  const compression = result.compression;
  const series = compression ? compressionSeries(compression) : [];
  if (!compression || series.length === 0) return undefined;
  const values = valuesWithin(series, LOWEST_HZ, HIGHEST_HZ);
  const y = holdingAxis('Change against the lowest level', 'dB', values, {
    floor: -4,
    ceiling: 2,
    step: 1,
    limit: 20,
  });
  const marks = levelMarks(result.findings ?? [], 'compression', series.at(-1), []);
  const worst = compression.above1Db.map(
    ({ levelDb, fromHz, toHz, worstDb }) =>
      `${formatQuantity(levelDb, 'dB')}: ${formatQuantity(worstDb, 'dB', true)}, ${formatFrequencyRange(fromHz, toHz)}`,
  );
  const words = worst.length > 0 ? `Over 1 dB: ${worst.join('; ')}.` : 'Nowhere over 1 dB.';
  return makeFigure(
    {
      name: 'compression',
      title: 'Compression',
      panels: [
        makePanel({
          id: 'change',
          x: FREQUENCY_AXIS,
          y,
          height: DEPARTURE_HEIGHT,
          series,
          guides: [{ value: -1, label: '1 dB lost' }],
          marks,
        }),
      ],
      notes: [`Lowest level ${formatQuantity(compression.referenceDb, 'dB')}. ${words}`, DEPARTURE_NOTE],
      summary: `Change of the response at rising levels against ${formatQuantity(compression.referenceDb, 'dB')}. ${words}`,
    },
    context,
  );
}

function distortionSeries(distortion: Distortion): FigureSeries[] {
  const { frequencyHz, thdPercent, harmonicsPercent } = distortion;
  const thd = makeSeries(
    'thd',
    'THD',
    'THD',
    { slot: 0, dash: 'solid', emphasis: 'main' },
    frequencyHz,
    positive(thdPercent),
  );
  const harmonics = Object.entries(harmonicsPercent)
    .map(([order, values]) => ({ order: Number(order), values }))
    .toSorted((a, b) => a.order - b.order)
    .map(({ order, values }, index) => {
      const label = `Harmonic ${order}`;
      return makeSeries(`h${order}`, label, `H${order}`, lookAt(index + 1), frequencyHz, positive(values));
    });
  return thdPercent.length > 0 ? [thd, ...harmonics] : harmonics;
}

function compressionSeries(compression: Compression): FigureSeries[] {
  return compression.levels
    .filter(({ frequencyHz }) => frequencyHz.length > 0)
    .toSorted((a, b) => a.levelDb - b.levelDb)
    .map(({ levelDb, frequencyHz, deviationDb }, index) => {
      const label = formatQuantity(levelDb, 'dB');
      return makeSeries(`level-${nameOf(levelDb)}`, label, label, lookAt(index), frequencyHz, deviationDb);
    });
}

/** Four decades of percent at most; zero and less cannot stand on a logarithmic axis and become gaps. */
function percentAxis(label: string, series: readonly FigureSeries[]): Axis {
  const values = valuesWithin(series, LOWEST_HZ, HIGHEST_HZ);
  const highest = values.reduce((a, b) => Math.max(a, b), 10);
  const lowest = values.reduce((a, b) => Math.min(a, b), 0.1);
  return logAxis(label, '%', Math.max(LOWEST_PERCENT, lowest), Math.min(100, highest));
}

function positive(values: readonly number[]): (number | null)[] {
  return values.map((value) => (value > 0 ? value : null));
}

/** Findings of one kind, where they lie within one of the zones (or anywhere, without zones). */
function levelMarks(
  findings: readonly Finding[],
  kind: Finding['kind'],
  series: FigureSeries | undefined,
  zones: readonly FigureZone[],
): FigureMark[] {
  if (!series) return [];
  const isHere = ({ centreHz }: Finding) =>
    zones.length === 0 || zones.some(({ from, to }) => centreHz >= from && centreHz <= to);
  return findings
    .filter((finding) => finding.kind === kind && isHere(finding))
    .toSorted((a, b) => a.centreHz - b.centreHz)
    .map((finding, index) => makeMark(finding, index + 1, { seriesId: series.id }));
}

function zoneOver(label: string): (range: readonly [number, number]) => FigureZone {
  return ([from, to]) => ({ axis: 'x', from, to, label });
}

function inRanges(ranges: readonly (readonly [number, number])[]): string {
  if (ranges.length === 0) return 'nowhere over 3 %';
  return `over 3 % at ${ranges.map(([from, to]) => formatFrequencyRange(from, to)).join(', ')}`;
}

function nameOf(levelDb: number): string {
  return String(Number(levelDb.toFixed(1)))
    .replace('-', 'minus-')
    .replace('.', '-');
}
