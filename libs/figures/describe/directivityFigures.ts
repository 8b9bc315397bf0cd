/** Maps and coverage. */
import type { AnalysisResult, DirectivityMap, Finding } from '../../acoustics/analysis.js';
import type { Orbit } from '../../acoustics/series.js';
import type { FigureDescription, FigureMap, FigureMark, FigurePanel } from '../description.js';
import { formatNumber, formatQuantity } from '../formatQuantity.js';
import { FREQUENCY_AXIS, linearAxis } from './axes.js';
import { CURVE_LOOKS } from './curveLooks.js';
import { makeMark } from './findingMarks.js';
import { makeFigure, makePanel, makeSeries, type FigureContext } from './frame.js';

const COLOUR_FLOOR_DB = -30;
const SIDES: Readonly<Record<Orbit, readonly [string, string]>> = {
  horizontal: ['left', 'right'],
  vertical: ['down', 'up'],
};

/** Level re on axis over frequency and angle, with the -6 dB contour. */
export function describeDirectivityMap(
  result: AnalysisResult,
  orbit: Orbit,
  context: FigureContext,
): FigureDescription | undefined {
  const source = result.maps?.[orbit];
  if (!source || source.angleDeg.length < 2 || source.frequencyHz.length < 2) return undefined;
  const reference = onAxisRow(source, result);
  if (!reference) return undefined;
  const map = relativeMap(source, reference);
  const marks = orbit === 'vertical' ? nullMarks(result.findings ?? [], result) : [];
  const word = orbit === 'horizontal' ? 'Horizontal' : 'Vertical';
  return makeFigure(
    {
      name: `${orbit}-map`,
      title: `${word} map`,
      panels: [mapPanel(map, orbit, marks)],
      notes: mapNotes(map),
      summary: `${word} directivity: level relative to on axis over frequency and angle. ${coverageWords(result, orbit)}`,
    },
    context,
  );
}

/** The angle where the level falls 6 dB below on axis, per side. */
export function describeCoverage(
  result: AnalysisResult,
  context: FigureContext,
): FigureDescription | undefined {
  const panels: FigurePanel[] = [];
  const { horizontal, vertical } = result;
  if (horizontal && horizontal.coverageDeg.frequencyHz.length > 0) {
    const { frequencyHz, left, right } = horizontal.coverageDeg;
    panels.push(coveragePanel('horizontal', frequencyHz, [right, left]));
  }
  if (vertical && vertical.coverageDeg.frequencyHz.length > 0) {
    const { frequencyHz, up, down } = vertical.coverageDeg;
    panels.push(coveragePanel('vertical', frequencyHz, [up, down]));
  }
  if (panels.length === 0) return undefined;
  const window = vertical?.usableWindowDeg;
  const notes = [
    '180° stands for: nowhere 6 dB down.',
    ...(horizontal ? [`One side, 1\u201310 kHz: ${formatQuantity(horizontal.summaryDeg, '°')}.`] : []),
    ...(window
      ? [
          `Usable window about the axis: ${formatQuantity(window.up, '°')} up, ${formatQuantity(window.down, '°')} down.`,
        ]
      : []),
  ];
  return makeFigure(
    {
      name: 'coverage',
      title: 'Coverage: where the level is 6 dB down',
      panels,
      notes,
      summary:
        `Angle at which the level falls 6 dB below on axis, against frequency. ${notes.join(' ')}`.trim(),
    },
    context,
  );
}

function coveragePanel(
  orbit: Orbit,
  frequencyHz: readonly number[],
  [plus, minus]: readonly [readonly number[], readonly number[]],
): FigurePanel {
  const [minusWord, plusWord] = SIDES[orbit];
  const word = orbit === 'horizontal' ? 'Horizontal' : 'Vertical';
  const look = CURVE_LOOKS.onAxis;
  const series = [
    makeSeries(
      `${orbit}-${plusWord}`,
      capital(plusWord),
      capital(plusWord),
      { slot: look.slot, dash: 'solid' },
      frequencyHz,
      plus,
    ),
    makeSeries(
      `${orbit}-${minusWord}`,
      capital(minusWord),
      capital(minusWord),
      { slot: 2, dash: 'long' },
      frequencyHz,
      minus,
    ),
  ];
  const y = linearAxis(`${word} angle from the axis`, '°', 0, 180, 30);
  return makePanel({ id: orbit, x: FREQUENCY_AXIS, y, height: { kind: 'share', ofWidth: 0.32 }, series });
}

function mapPanel(map: FigureMap, orbit: Orbit, marks: readonly FigureMark[]): FigurePanel {
  const lowest = map.angleDeg[0] ?? -180;
  const highest = map.angleDeg.at(-1) ?? 180;
  const low = lowest <= -160 ? -180 : Math.floor(lowest / 30) * 30;
  const high = highest >= 160 ? 180 : Math.ceil(highest / 30) * 30;
  const step = high - low > 180 ? 60 : 30;
  const [minusWord, plusWord] = SIDES[orbit];
  const axis = linearAxis(
    `Angle from the axis (\u2212 ${minusWord}, + ${plusWord})`,
    '°',
    low,
    high,
    step,
    30,
  );
  const panel = makePanel({
    id: 'map',
    x: FREQUENCY_AXIS,
    y: axis,
    height: { kind: 'share', ofWidth: 0.55 },
    series: [],
    marks,
  });
  return { ...panel, map };
}

function onAxisRow(source: DirectivityMap, result: AnalysisResult): readonly number[] | undefined {
  const row = source.levelDb[source.angleDeg.indexOf(0)];
  if (row) return row;
  const sameGrid = result.frequencyHz?.length === source.frequencyHz.length;
  return sameGrid ? result.curves?.onAxis : undefined;
}

function relativeMap(source: DirectivityMap, reference: readonly number[]): FigureMap {
  const count = source.frequencyHz.length;
  const levelDb = source.levelDb.map((row) => relativeRow(row, reference, count));
  const [, highest] = extremes(levelDb);
  const top = Math.min(12, Math.ceil(Number((Math.max(0, highest) / 3).toFixed(3))) * 3);
  return {
    frequencyHz: source.frequencyHz,
    angleDeg: source.angleDeg,
    levelDb,
    colourDb: [COLOUR_FLOOR_DB, top],
    contourDb: -6,
  };
}

function relativeRow(row: readonly number[], reference: readonly number[], count: number): (number | null)[] {
  const levels: (number | null)[] = [];
  for (let index = 0; index < count; index += 1) {
    const level = (row[index] ?? NaN) - (reference[index] ?? NaN);
    levels.push(Number.isFinite(level) ? level + 0 : null);
  }
  return levels;
}

function extremes(levelDb: FigureMap['levelDb']): readonly [number, number] {
  let lowest = Infinity;
  let highest = -Infinity;
  for (const row of levelDb) {
    for (const level of row) {
      if (level === null) continue;
      if (level < lowest) lowest = level;
      if (level > highest) highest = level;
    }
  }
  return [lowest, highest];
}

function mapNotes(map: FigureMap): string[] {
  const notes = [
    `Level relative to on axis; the line is the ${formatQuantity(map.contourDb, 'dB')} contour.`,
  ];
  const [low, high] = map.colourDb;
  const [lowest, highest] = extremes(map.levelDb);
  if (lowest < low) {
    notes.push(`Levels under ${formatQuantity(low, 'dB')} share the darkest colour.`);
  }
  if (highest > high) {
    notes.push(`Levels over ${formatQuantity(high, 'dB')} share the lightest colour.`);
  }
  const holes = missingAngles(map.angleDeg);
  if (holes.length > 0) notes.push(`Not measured, left blank: ${holes.join(', ')}.`);
  return notes;
}

/** Gaps of more than one and three quarters of the usual step; behind the cabinet too, once the circle is nearly full. */
export function missingAngles(angleDeg: readonly number[]): string[] {
  const steps = angleDeg.slice(1).map((angle, index) => angle - (angleDeg[index] ?? angle));
  const usual = steps.toSorted((a, b) => a - b)[Math.floor(steps.length / 2)] ?? 10;
  const behind = (angleDeg[0] ?? 0) + 360 - (angleDeg.at(-1) ?? 0);
  const all = behind <= 90 ? [...steps, behind] : steps;
  return all.flatMap((step, index) => {
    if (step <= usual * 1.75) return [];
    const start = angleDeg[index] ?? 0;
    const from = start + usual;
    const to = start + step - usual;
    return [from >= to ? degrees(from) : `${degrees(from)} to ${degrees(to)}`];
  });
}

function degrees(value: number): string {
  const turned = value > 180 ? value - 360 : value;
  return turned === 180 ? '180°' : `${formatNumber(turned, 0, true)}°`;
}

/** Each finding on the nearest null not yet taken, its mark on the side away from the axis. */
function nullMarks(findings: readonly Finding[], result: AnalysisResult): FigureMark[] {
  const free = [...(result.vertical?.nulls ?? [])];
  return findings
    .filter(({ kind }) => kind === 'vertical-null')
    .toSorted((a, b) => a.centreHz - b.centreHz)
    .flatMap((finding, index) => {
      const away = free.map(({ frequencyHz }) => octaves(frequencyHz, finding.centreHz));
      const [nearest] = free.splice(away.indexOf(Math.min(...away)), 1);
      if (!nearest) return [];
      const side = nearest.angleDeg < 0 ? 'below' : 'above';
      return [{ ...makeMark(finding, index + 1, { y: nearest.angleDeg }), side }];
    });
}

function octaves(aHz: number, bHz: number): number {
  return Math.abs(Math.log2(aHz / bHz));
}

function coverageWords(result: AnalysisResult, orbit: Orbit): string {
  if (orbit === 'horizontal' && result.horizontal) {
    return `Coverage ${formatQuantity(result.horizontal.summaryDeg, '°')} to one side, 1\u201310 kHz.`;
  }
  const nulls = result.vertical?.nulls.length ?? 0;
  return orbit === 'vertical' && nulls > 0 ? `${nulls} vertical nulls.` : '';
}

function capital(word: string): string {
  return word.charAt(0).toUpperCase() + word.slice(1);
}
