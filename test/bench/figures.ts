/**
 * How fast figures are drawn: from typed results to finished SVG, warm. The peers are the same data put into SVG with
 * the same scale and shape library and nothing else: bare paths for a chart, one rectangle per cell for a map.
 */
import { scaleLinear, scaleLog } from 'd3-scale';
import { line } from 'd3-shape';
import type { AnalysisResult } from '../../libs/acoustics/analysis.js';
import { describeComparison } from '../../libs/figures/describe/comparisonFigure.js';
import { describeDirectivityMap } from '../../libs/figures/describe/directivityFigures.js';
import type { FigureDescription } from '../../libs/figures/description.js';
import { drawSvg } from '../../libs/figures/draw/drawSvg.js';
import { mapColourHex } from '../../libs/figures/layout/mapColours.js';
import { inventedMap, inventedResult } from '../../libs/figures/testing/inventedResult.js';

const RUNS = 60;
const BLOCKS = 4;
const WARM_UP = 120;
const CONTEXT = { title: 'Invented', invented: true };

/** Rows for `npm run bench`: medians in ms, ours over peer's, both measured in this run. */
export function benchFigures() {
  return [chartRow(), mapRow()];
}

/** Ten curves of 240 points, with axes, labels and notes. */
function chartRow() {
  const result = inventedResult();
  const units = Array.from({ length: 10 }, (_, index) => ({
    label: `Invented unit ${index + 1}`,
    result: shifted(result, index),
  }));
  const ours = () => drawn(describeComparison(units, 'listeningWindow', 'as-measured', CONTEXT)).length;
  const peer = () => barePaths(units.map((unit) => unit.result)).length;
  return row('figure: 10-curve chart to SVG (goal under 4 ms)', ours, peer);
}

/** 72 angles by 200 frequencies, with its contour and colour scale. */
function mapRow() {
  const frequencyHz = Array.from({ length: 200 }, (_, index) => 20 * 1000 ** (index / 199));
  const whole = inventedMap('vertical', frequencyHz);
  const angleDeg = Array.from({ length: 72 }, (_, index) => -175 + 5 * index);
  const levelDb = angleDeg.map(
    (angle) => whole.levelDb[Math.floor((angle + 170) / 10)] ?? whole.levelDb[0] ?? [],
  );
  const result = { ...inventedResult(), maps: { vertical: { frequencyHz, angleDeg, levelDb } } };
  const ours = () => drawn(describeDirectivityMap(result, 'vertical', CONTEXT)).length;
  const peer = () => rectangles(levelDb).length;
  return row('figure: 72 x 200 map to SVG (goal under 3 ms)', ours, peer);
}

function row(name: string, ours: () => number, peer: () => number) {
  const [ourMs, peerMs] = medians(ours, peer);
  return {
    name,
    ours: ourMs,
    peer: peerMs,
    unit: 'ms',
    higherIsBetter: false,
    runs: RUNS,
  };
}

/** Blocks of each in turn: a busy moment of the machine hits both, and neither cleans up after the other. */
function medians(ours: () => number, peer: () => number): readonly [number, number] {
  const times: [number[], number[]] = [[], []];
  timed(ours, WARM_UP);
  timed(peer, WARM_UP);
  for (let block = 0; block < BLOCKS; block += 1) {
    times[0].push(...timed(ours, RUNS / BLOCKS));
    times[1].push(...timed(peer, RUNS / BLOCKS));
  }
  const median = (values: number[]) => values.toSorted((a, b) => a - b)[Math.floor(values.length / 2)] ?? NaN;
  return [median(times[0]), median(times[1])];
}

function timed(draw: () => number, runs: number): number[] {
  return Array.from({ length: runs }, () => {
    const start = performance.now();
    if (draw() === 0) throw new Error('Nothing was drawn.');
    return performance.now() - start;
  });
}

function drawn(description: FigureDescription | undefined): string {
  if (!description) throw new Error('The invented result gave no figure.');
  return drawSvg(description, { size: 'screen', theme: 'paper' });
}

function shifted(result: AnalysisResult, by: number): AnalysisResult {
  const listeningWindow = (result.curves?.listeningWindow ?? []).map((level) => level - by * 0.4);
  return { ...result, curves: { ...result.curves, listeningWindow } };
}

function barePaths(results: readonly AnalysisResult[]): string {
  const x = scaleLog([20, 20_000], [40, 800]);
  const y = scaleLinear([50, 100], [560, 60]);
  const paths = results.map(({ frequencyHz = [], curves }) => {
    const points = frequencyHz.map((hz, index): [number, number] => [
      hz,
      curves?.listeningWindow?.[index] ?? 0,
    ]);
    const path = line(
      (point) => x(point[0]),
      (point) => y(point[1]),
    ).digits(1)(points);
    return `<path d="${path ?? ''}" fill="none" stroke="#000"/>`;
  });
  return `<svg xmlns="http://www.w3.org/2000/svg" width="960" height="640">${paths.join('')}</svg>`;
}

function rectangles(levelDb: readonly (readonly number[])[]): string {
  const cells = levelDb.flatMap((levels, row) =>
    levels.map(
      (level, column) =>
        `<rect x="${column * 4}" y="${row * 6}" width="4" height="6" fill="${mapColourHex((level - 56) / 30)}"/>`,
    ),
  );
  return `<svg xmlns="http://www.w3.org/2000/svg" width="960" height="640">${cells.join('')}</svg>`;
}
