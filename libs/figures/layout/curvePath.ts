/** A curve as path data, thinned to what can be seen and cut to its panel. */
import { line } from 'd3-shape';
import type { FigureSeries } from '../description.js';
import type { Box } from './figureLayout.js';

type Point = readonly [number, number];

/** More points than this per px of width cannot be told apart; the extremes of each px are kept. */
const POINTS_PER_PX = 3;

const draw = line().digits(1);

export interface CurvePath {
  readonly path: string;
  /** The last drawn point: where the label belongs; clamped to the panel. */
  readonly end?: Point;
}

/**
 * `xOf` and `yOf` give px and may give NaN or infinities (a zero on a logarithmic axis): such points are gaps. Parts
 * beyond the box are cut exactly at its edge.
 */
export function curvePath(
  series: FigureSeries,
  xOf: (value: number) => number,
  yOf: (value: number) => number,
  box: Box,
): CurvePath {
  const parts: string[] = [];
  let end: Point | undefined;
  for (const run of runsOf(series, xOf, yOf)) {
    const points = thin(run, box);
    if (points.length === 1) parts.push(dot(points[0], box));
    for (const piece of clip(points, box)) parts.push(draw(piece as [number, number][]) ?? '');
    const last = points.findLast(([x]) => x <= box.x + box.width + 0.5 && x >= box.x);
    if (last) end = [Math.min(last[0], box.x + box.width), clamp(last[1], box.y, box.y + box.height)];
  }
  return { path: parts.join(''), ...(end ? { end } : {}) };
}

function runsOf(series: FigureSeries, xOf: (v: number) => number, yOf: (v: number) => number): Point[][] {
  const runs: Point[][] = [];
  let run: Point[] = [];
  for (let index = 0; index < series.x.length; index += 1) {
    const value = series.y[index];
    const x = xOf(series.x[index] ?? NaN);
    const y = value === null || value === undefined ? NaN : yOf(value);
    if (Number.isFinite(x) && Number.isFinite(y)) run.push([x, y]);
    else if (run.length > 0) {
      runs.push(run);
      run = [];
    }
  }
  if (run.length > 0) runs.push(run);
  return runs;
}

/** Per px column the first, lowest, highest and last point, so no peak is lost. */
function thin(points: readonly Point[], box: Box): readonly Point[] {
  if (points.length <= box.width * POINTS_PER_PX) return points;
  const kept: Point[] = [];
  let start = 0;
  for (let index = 1; index <= points.length; index += 1) {
    const column = Math.floor(points[start]?.[0] ?? 0);
    if (index < points.length && Math.floor(points[index]?.[0] ?? 0) === column) continue;
    kept.push(...extremes(points.slice(start, index)));
    start = index;
  }
  return kept;
}

function extremes(points: readonly Point[]): readonly Point[] {
  if (points.length <= 4) return points;
  let low = 0;
  let high = 0;
  points.forEach(([, y], index) => {
    if (y < (points[low]?.[1] ?? y)) low = index;
    if (y > (points[high]?.[1] ?? y)) high = index;
  });
  const indices = [...new Set([0, Math.min(low, high), Math.max(low, high), points.length - 1])];
  return indices.flatMap((index) => points.slice(index, index + 1));
}

/** Liang-Barsky, segment by segment, joined again where nothing was cut. */
function clip(points: readonly Point[], box: Box): Point[][] {
  const pieces: Point[][] = [];
  let piece: Point[] = [];
  for (let index = 1; index < points.length; index += 1) {
    const from = points[index - 1];
    const to = points[index];
    const inside = from && to ? clipSegment(from, to, box) : undefined;
    if (!inside) continue;
    const [start, stop] = inside;
    const last = piece.at(-1);
    if (last?.[0] === start[0] && last[1] === start[1]) piece.push(stop);
    else {
      if (piece.length > 1) pieces.push(piece);
      piece = [start, stop];
    }
  }
  if (piece.length > 1) pieces.push(piece);
  return pieces;
}

function clipSegment(from: Point, to: Point, box: Box): readonly [Point, Point] | undefined {
  const right = box.x + box.width;
  const bottom = box.y + box.height;
  if (isWithin(from, box, right, bottom) && isWithin(to, box, right, bottom)) return [from, to];
  const dx = to[0] - from[0];
  const dy = to[1] - from[1];
  let enter = 0;
  let leave = 1;
  const limits = [
    [-dx, from[0] - box.x],
    [dx, right - from[0]],
    [-dy, from[1] - box.y],
    [dy, bottom - from[1]],
  ] as const;
  for (const [towards, room] of limits) {
    if (towards === 0 && room < 0) return undefined;
    if (towards < 0) enter = Math.max(enter, room / towards);
    if (towards > 0) leave = Math.min(leave, room / towards);
  }
  if (enter > leave) return undefined;
  const at = (share: number): Point => [from[0] + share * dx, from[1] + share * dy];
  return [enter === 0 ? from : at(enter), leave === 1 ? to : at(leave)];
}

function isWithin([x, y]: Point, box: Box, right: number, bottom: number): boolean {
  return x >= box.x && x <= right && y >= box.y && y <= bottom;
}

/** A lone value between gaps, drawn as a short bar so that it does not vanish. */
function dot(point: Point | undefined, box: Box): string {
  if (!point || !isWithin(point, box, box.x + box.width, box.y + box.height)) return '';
  const from = Math.max(box.x, point[0] - 2);
  return (
    draw([
      [from, point[1]],
      [Math.min(box.x + box.width, from + 4), point[1]],
    ]) ?? ''
  );
}

function clamp(value: number, low: number, high: number): number {
  return Math.min(Math.max(value, low), high);
}
