/** Numbered marks beside their curves, none covering another. */
import type { FigurePanel, FigureMark } from '../description.js';
import { valueAtOrNear } from '../valueAtFrequency.js';
import type { IsFree } from './clearance.js';
import type { Box, MarkLayout, PlacedText } from './figureLayout.js';
import { textWidthPx } from './textWidth.js';

export interface MarkScales {
  readonly xOf: (hz: number) => number;
  readonly yOf: (value: number) => number;
}

/**
 * Each mark starts a stem's length above or below its curve and moves on, outwards, then to the other side, then
 * sideways along a widening raster, until it is inside the box and free of the marks placed before it, of `taken` and,
 * if possible, of curves.
 */
export function layoutMarks(
  panel: FigurePanel,
  scales: MarkScales,
  box: Box,
  fontPx: number,
  isFree: IsFree,
  taken: readonly Box[] = [],
): MarkLayout[] {
  const radius = markRadiusPx(fontPx);
  const placed: MarkLayout[] = [];
  for (const mark of panel.marks) {
    const foot = footOf(mark, panel, scales, box);
    if (!foot) continue;
    const spots = candidates(foot, mark.side, radius).filter(
      (point) =>
        isInside(point, box, radius) &&
        placed.every((other) => Math.hypot(point[0] - other.cx, point[1] - other.cy) >= 2 * radius + 1) &&
        taken.every((other) => !touchesBox(point, radius, other)),
    );
    const spot = spots.find((point) => isFree(around(point, radius + fontPx * 0.15))) ?? spots[0];
    placed.push(oneMark(mark, foot, spot ?? foot, scales, box, radius, fontPx));
  }
  return placed;
}

export function markRadiusPx(fontPx: number): number {
  return fontPx * 0.66;
}

function footOf(
  mark: FigureMark,
  panel: FigurePanel,
  { xOf, yOf }: MarkScales,
  box: Box,
): readonly [number, number] | undefined {
  const series = panel.series.find(({ id }) => id === mark.seriesId);
  const value = series ? valueAtOrNear(series, mark.atHz, panel.y.scale) : mark.y;
  const x = xOf(mark.atHz);
  if (value === null || value === undefined || !Number.isFinite(x) || !Number.isFinite(yOf(value)))
    return undefined;
  return [within(x, box.x, box.x + box.width), within(yOf(value), box.y, box.y + box.height)];
}

function candidates(
  [x, y]: readonly [number, number],
  side: FigureMark['side'],
  radius: number,
): (readonly [number, number])[] {
  const outward = side === 'above' ? -1 : 1;
  const points: (readonly [number, number])[] = [];
  for (const aside of [0, 2.2, -2.2, 4.4, -4.4, 6.6, -6.6, 8.8, -8.8]) {
    for (const direction of [outward, -outward]) {
      for (const step of [2.4, 4.6, 6.8, 9, 11.2, 13.4]) {
        points.push([x + aside * radius, y + direction * step * radius]);
      }
    }
  }
  return points;
}

function oneMark(
  mark: FigureMark,
  foot: readonly [number, number],
  spot: readonly [number, number],
  { xOf }: MarkScales,
  box: Box,
  radius: number,
  fontPx: number,
): MarkLayout {
  const from = within(xOf(mark.fromHz), box.x, box.x + box.width);
  const to = within(xOf(mark.toHz), box.x, box.x + box.width);
  // The bracket stays off the curve, so it hides nothing of what it marks.
  const spanY = foot[1] + Math.sign(spot[1] - foot[1]) * fontPx * 0.45;
  const towards = Math.atan2(foot[1] - spot[1], foot[0] - spot[0]);
  const edge = [spot[0] + radius * Math.cos(towards), spot[1] + radius * Math.sin(towards)] as const;
  return {
    id: mark.id,
    number: mark.number,
    filled: mark.filled,
    text: mark.text,
    cx: spot[0],
    cy: spot[1],
    radius,
    stem: `M${edge[0].toFixed(1)},${edge[1].toFixed(1)}L${foot[0].toFixed(1)},${foot[1].toFixed(1)}`,
    span: `M${from.toFixed(1)},${spanY.toFixed(1)}L${to.toFixed(1)},${spanY.toFixed(1)}`,
    numberText: markNumber(mark.number, spot[0], spot[1], fontPx),
  };
}

export function markNumber(number: number, cx: number, cy: number, fontPx: number): PlacedText {
  const size = fontPx * (number > 99 ? 0.6 : 0.78);
  return {
    text: String(number),
    x: cx,
    y: cy + size * 0.35,
    anchor: 'middle',
    fontPx: size,
    weight: 700,
    tone: 'ink',
  };
}

function around([x, y]: readonly [number, number], radius: number): Box {
  return { x: x - radius, y: y - radius, width: 2 * radius, height: 2 * radius };
}

function isInside([x, y]: readonly [number, number], box: Box, radius: number): boolean {
  return (
    x >= box.x + radius &&
    x <= box.x + box.width - radius &&
    y >= box.y + radius &&
    y <= box.y + box.height - radius
  );
}

function touchesBox([x, y]: readonly [number, number], radius: number, box: Box): boolean {
  return (
    x + radius > box.x &&
    x - radius < box.x + box.width &&
    y + radius > box.y &&
    y - radius < box.y + box.height
  );
}

/** The box a placed text covers, for keeping other things off it. */
export function textBox(text: PlacedText): Box {
  const width = textWidthPx(text.text, text.fontPx, text.weight);
  const x = text.anchor === 'start' ? text.x : text.anchor === 'end' ? text.x - width : text.x - width / 2;
  return { x, y: text.y - text.fontPx * 0.78, width, height: text.fontPx };
}

function within(value: number, low: number, high: number): number {
  return Math.min(Math.max(value, low), high);
}
