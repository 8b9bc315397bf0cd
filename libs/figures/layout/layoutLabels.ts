/** Direct labels in the gutter right of a panel, none touching another. */
import type { FigureSeries } from '../description.js';
import type { Box, PlacedText, SeriesLabel } from './figureLayout.js';
import type { FigureSize } from './sizes.js';
import { spread } from './spread.js';
import { shortenText, textWidthPx } from './textWidth.js';

const LINE_HEIGHT = 1.25;

export interface LabelWish {
  readonly series: FigureSeries;
  /** Where the curve ends; a curve with nothing to draw has none and gets no label. */
  readonly end?: readonly [number, number];
}

/** How far the text starts right of the panel: leader and line sample come before it. */
export function labelIndentPx(size: FigureSize): number {
  return size.labels === 'short' ? size.fontPx * 2.2 : size.fontPx * 2.9;
}

export function labelText(series: FigureSeries, size: FigureSize): string {
  return size.labels === 'short' ? series.shortLabel : series.label;
}

/** The width all labels of a figure need, at most a third of it. */
export function gutterWidthPx(series: readonly FigureSeries[], size: FigureSize): number {
  const widest = series.reduce(
    (most, one) => Math.max(most, textWidthPx(labelText(one, size), size.fontPx)),
    0,
  );
  if (series.length === 0) return size.fontPx;
  return Math.min(labelIndentPx(size) + widest + size.fontPx * 0.4, size.widthPx * 0.33);
}

/** One label per wish, in the wishes' order; `undefined` where the panel has no room for all of them. */
export function layoutLabels(
  wishes: readonly LabelWish[],
  box: Box,
  gutterPx: number,
  size: FigureSize,
): (SeriesLabel | undefined)[] {
  const lineHeight = size.fontPx * LINE_HEIGHT;
  const shown = wishes
    .map(({ end }, index) => ({ end, index }))
    .flatMap(({ end, index }) => (end ? [{ end, index }] : []))
    .toSorted((a, b) => a.end[1] - b.end[1] || a.index - b.index);
  const roomFor = Math.floor(box.height / lineHeight) + 1;
  const fitting = shown.slice(0, roomFor);
  const centres = spread(
    fitting.map(({ end }) => end[1]),
    lineHeight,
    box.y,
    box.y + box.height,
  );
  const labels: (SeriesLabel | undefined)[] = wishes.map(() => undefined);
  fitting.forEach(({ end, index }, place) => {
    const series = wishes[index]?.series;
    if (series) labels[index] = oneLabel(series, end, centres[place] ?? end[1], box, gutterPx, size);
  });
  return labels;
}

function oneLabel(
  series: FigureSeries,
  end: readonly [number, number],
  centreY: number,
  box: Box,
  gutterPx: number,
  size: FigureSize,
): SeriesLabel {
  const { fontPx } = size;
  const indent = labelIndentPx(size);
  const right = box.x + box.width;
  const sampleFrom = right + fontPx * 0.7;
  const whole = labelText(series, size);
  const text = shortenText(whole, gutterPx - indent, fontPx);
  const placed: PlacedText = {
    text,
    x: right + indent,
    y: centreY + fontPx * 0.34,
    anchor: 'start',
    fontPx,
    weight: 400,
    tone: 'ink',
    ...(text === series.label ? {} : { full: series.label }),
  };
  const y = centreY.toFixed(1);
  return {
    text: placed,
    leader: `M${end[0].toFixed(1)},${end[1].toFixed(1)}L${right.toFixed(1)},${end[1].toFixed(1)}L${sampleFrom.toFixed(1)},${y}`,
    sample: `M${sampleFrom.toFixed(1)},${y}L${(right + indent - fontPx * 0.35).toFixed(1)},${y}`,
  };
}
