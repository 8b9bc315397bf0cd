/** The figures of the averaged responses. */
import type { AnalysisResult, CurveName, InRoomTrend } from '../../acoustics/analysis.js';
import type { FigureDescription, FigurePanel, FigureSeries } from '../description.js';
import { formatQuantity } from '../formatQuantity.js';
import { LOWEST_HZ } from './axes.js';
import { curveSeries, indexPanel, levelPanel } from './curvePanels.js';
import { MARK_NOTE, findingMarks } from './findingMarks.js';
import { makeFigure, makeSeries, type FigureContext } from './frame.js';
import { inWords } from './inWords.js';

const LEVELS: readonly CurveName[] = ['onAxis', 'listeningWindow', 'earlyReflections', 'soundPower'];
const INDICES: readonly CurveName[] = ['earlyReflectionsDirectivityIndex', 'soundPowerDirectivityIndex'];
const REFLECTIONS: readonly CurveName[] = [
  'earlyReflections',
  'floorBounce',
  'ceilingBounce',
  'frontWallBounce',
  'sideWallBounce',
  'rearWallBounce',
];

/** On axis, listening window, early reflections and sound power, with both directivity indices beneath. */
export function describeOnAndOffAxis(
  result: AnalysisResult,
  context: FigureContext,
): FigureDescription | undefined {
  const levels = curveSeries(result, LEVELS);
  const indices = curveSeries(result, INDICES);
  if (levels.length === 0) return undefined;
  const panels = [levelPanel(result, levels), ...(indices.length > 0 ? [indexPanel(indices)] : [])];
  const sensitivity = result.sensitivity
    ? ` Sensitivity ${formatQuantity(result.sensitivity.db, 'dB')} at 2.83 V, 1 m.`
    : '';
  return makeFigure(
    {
      name: 'on-and-off-axis',
      title: 'On and off axis',
      panels,
      summary: `${inWords(names(panels))} against frequency.${sensitivity}`,
    },
    context,
  );
}

/** The early reflections and the surfaces they are made of. */
export function describeEarlyReflections(
  result: AnalysisResult,
  context: FigureContext,
): FigureDescription | undefined {
  const series = curveSeries(result, REFLECTIONS).map(asMain('earlyReflections'));
  if (series.length < 2) return undefined;
  const reading =
    result.settings.earlyReflections === 'five-group-mean'
      ? 'Early reflections: energy mean of the five surfaces.'
      : 'Early reflections: energy mean of all member curves at once.';
  const rear =
    result.settings.rearWall === 'nineteen'
      ? 'Rear wall: every angle from 90° back.'
      : 'Rear wall: ±90° and 180° only.';
  const panels = [levelPanel(result, series)];
  return makeFigure(
    {
      name: 'early-reflections',
      title: 'Early reflections by surface',
      panels,
      notes: [`${reading} ${rear}`],
      summary: `${inWords(names(panels))} against frequency.`,
    },
    context,
  );
}

/** The estimated in-room response with its fitted trend. */
export function describeEstimatedInRoom(
  result: AnalysisResult,
  context: FigureContext,
): FigureDescription | undefined {
  const series = curveSeries(result, ['estimatedInRoom']).map(asMain('estimatedInRoom'));
  if (series.length === 0) return undefined;
  const trend = result.inRoomTrend;
  const lines = trend ? [...series, trendSeries(trend)] : series;
  const slope = trend
    ? `Trend ${formatQuantity(trend.slopeDbPerOctave, 'dB/octave', true)} from ${trend.fromHz} Hz up; ` +
      `departures ${formatQuantity(trend.residualRmsDb, 'dB')} RMS.`
    : undefined;
  const fromHz = trend?.fromHz ?? 500;
  const zones = [{ axis: 'x' as const, from: LOWEST_HZ, to: fromHz, label: 'The room rules here' }];
  return makeFigure(
    {
      name: 'estimated-in-room',
      title: 'Estimated in-room response',
      panels: [levelPanel(result, lines, { zones })],
      notes: slope === undefined ? [] : [slope],
      summary: `Estimated in-room response against frequency. ${slope ?? ''}`.trim(),
    },
    context,
  );
}

/** Findings as numbered marks on the curves they stand on. */
export function describeFindings(
  result: AnalysisResult,
  context: FigureContext,
): FigureDescription | undefined {
  const findings = result.findings ?? [];
  const named = (list: readonly CurveName[]): FigureSeries[] => curveSeries(result, list);
  const wanted = [...named([...LEVELS, 'estimatedInRoom']), ...named(INDICES)];
  const marked = new Set(findingMarks(findings, wanted).map((mark) => mark.seriesId));
  if (marked.size === 0) return undefined;
  const levels = named([...LEVELS, 'estimatedInRoom']).filter(
    ({ id }) => marked.has(id) || id === 'onAxis' || id === 'listeningWindow',
  );
  const indices = named(INDICES).filter(({ id }) => marked.has(id));
  const marks = findingMarks(findings, [...levels, ...indices]);
  const on = (series: readonly FigureSeries[]) =>
    marks.filter(({ seriesId }) => series.some(({ id }) => id === seriesId));
  const panels = [
    ...(levels.length > 0 ? [levelPanel(result, levels, { marks: on(levels) })] : []),
    ...(indices.length > 0 ? [indexPanel(indices, { marks: on(indices) })] : []),
  ];
  return makeFigure(
    {
      name: 'findings',
      title: 'Findings on the curves',
      panels,
      notes: [MARK_NOTE],
      summary: `${marks.length} findings marked: ${marks.map(({ text }) => text).join(' ')}`,
    },
    context,
  );
}

function trendSeries(trend: InRoomTrend): FigureSeries {
  const x = [trend.fromHz, trend.toHz];
  const y = x.map((hz) => trend.interceptDb + trend.slopeDbPerOctave * Math.log2(hz / 1000));
  return makeSeries('trend', 'Fitted trend', 'Trend', { slot: 0, dash: 'short' }, x, y);
}

function asMain(id: string): (series: FigureSeries) => FigureSeries {
  return (series) => (series.id === id ? { ...series, emphasis: 'main' } : series);
}

function names(panels: readonly FigurePanel[]): string[] {
  return panels.flatMap(({ series }) => series.map(({ label }) => label));
}
