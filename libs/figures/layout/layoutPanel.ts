/** One panel: grid, ticks, zones, guides, curves, labels, marks, map. */
import type { AxisTick, FigurePanel } from '../description.js';
import { axisScale, readableTicks, type AxisScale } from './axisScale.js';
import { clearanceOf, type IsFree } from './clearance.js';
import { curvePath } from './curvePath.js';
import type { Box, GridLine, GuideLayout, PanelLayout, PlacedText, ZoneLayout } from './figureLayout.js';
import { layoutLabels } from './layoutLabels.js';
import { layoutMap } from './layoutMap.js';
import { layoutMarks, textBox } from './layoutMarks.js';
import type { FigureSize } from './sizes.js';
import { shortenText, textWidthPx } from './textWidth.js';

export const TICK_SCALE = 0.92;

export interface PanelPlace {
  readonly box: Box;
  readonly gutterPx: number;
  readonly size: FigureSize;
  /** Frequency ticks are written under the lowest panel only. */
  readonly isLowest: boolean;
  /** Curves the reader has switched off: neither drawn nor labelled. */
  readonly hidden: ReadonlySet<string>;
}

export function layoutPanel(panel: FigurePanel, place: PanelPlace): PanelLayout {
  const { box, size, gutterPx, hidden } = place;
  const x = axisScale(panel.x, box.x, box.x + box.width);
  const y = axisScale(panel.y, box.y + box.height, box.y);
  const shown = panel.series.filter(({ id }) => !hidden.has(id));
  const drawn = shown.map((series) => ({ series, ...curvePath(series, x.pxOf, y.pxOf, box) }));
  const labels = layoutLabels(drawn, box, gutterPx, size);
  const isFree = clearanceOf(shown, x.pxOf, y.pxOf);
  const zones = layoutZones(panel, x, y, box, size, isFree);
  const zoneTexts = labelBoxes(zones);
  const isFreeOfZones: IsFree = (place) => isFree(place) && !zoneTexts.some((other) => overlap(place, other));
  const guides = layoutGuides(panel, y, box, size, isFreeOfZones);
  const taken = [...zoneTexts, ...labelBoxes(guides)];
  const visible = { ...panel, marks: panel.marks.filter(({ seriesId }) => !hidden.has(seriesId ?? '')) };
  return {
    id: panel.id,
    box,
    heading: headingText(panel, box, gutterPx, size),
    gridX: gridLines(panel.x.ticks, panel.x.minor, x),
    gridY: gridLines(panel.y.ticks, panel.y.minor, y),
    tickTexts: [
      ...yTickTexts(panel, y, box, size),
      ...(place.isLowest ? xTickTexts(panel, x, box, size) : []),
    ],
    zones,
    guides,
    series: drawn.map(({ series, path }, index) => {
      const { id, slot, dash, emphasis } = series;
      const label = labels[index];
      return { id, slot, dash, emphasis, path, ...(label ? { label } : {}) };
    }),
    marks: layoutMarks(visible, { xOf: x.pxOf, yOf: y.pxOf }, box, size.fontPx, isFree, taken),
    ...(panel.map ? { map: layoutMap(panel.map, panel, x, y, box, size.fontPx) } : {}),
    xOf: x.pxOf,
    hzAt: x.valueAt,
    yOf: y.pxOf,
    valueAt: y.valueAt,
  };
}

/** The widest tick of a panel's y axis, px. */
export function tickWidthPx(panel: FigurePanel, size: FigureSize): number {
  return panel.y.ticks.reduce(
    (most, tick) => Math.max(most, textWidthPx(tick.text, size.fontPx * TICK_SCALE)),
    0,
  );
}

function headingText(panel: FigurePanel, box: Box, gutterPx: number, size: FigureSize): PlacedText {
  const { label, unit } = panel.y;
  const whole = unit === '' ? label : `${label}, ${unit}`;
  const text = shortenText(whole, box.width + gutterPx, size.fontPx);
  const y = box.y - size.fontPx * 0.65;
  return {
    text,
    x: box.x,
    y,
    anchor: 'start',
    fontPx: size.fontPx,
    weight: 400,
    tone: 'quiet',
    ...(text === whole ? {} : { full: whole }),
  };
}

function gridLines(ticks: readonly AxisTick[], minor: readonly number[], scale: AxisScale): GridLine[] {
  return [
    ...minor.map((value) => ({ at: scale.pxOf(value), labelled: false })),
    ...ticks.map(({ value }) => ({ at: scale.pxOf(value), labelled: true })),
  ];
}

function yTickTexts(panel: FigurePanel, y: AxisScale, box: Box, size: FigureSize): PlacedText[] {
  const fontPx = size.fontPx * TICK_SCALE;
  const extent = ({ value }: AxisTick) => [y.pxOf(value) - fontPx / 2, y.pxOf(value) + fontPx / 2] as const;
  return readableTicks(panel.y.ticks, extent, fontPx * 0.1).map(({ value, text }) =>
    quietText(text, box.x - size.fontPx * 0.5, y.pxOf(value) + fontPx * 0.34, fontPx, 'end'),
  );
}

function xTickTexts(panel: FigurePanel, x: AxisScale, box: Box, size: FigureSize): PlacedText[] {
  const fontPx = size.fontPx * TICK_SCALE;
  const extent = ({ value, text }: AxisTick) => {
    const half = textWidthPx(text, fontPx) / 2;
    return [x.pxOf(value) - half, x.pxOf(value) + half] as const;
  };
  return readableTicks(panel.x.ticks, extent, fontPx * 0.25).map(({ value, text }) =>
    quietText(text, x.pxOf(value), box.y + box.height + size.fontPx * 1.25, fontPx, 'middle'),
  );
}

/** Shaded stretches; a label stands at the top or bottom inside where it fits, once per wording. */
function layoutZones(
  panel: FigurePanel,
  x: AxisScale,
  y: AxisScale,
  box: Box,
  size: FigureSize,
  isFree: IsFree,
): ZoneLayout[] {
  const fontPx = size.fontPx * TICK_SCALE;
  const said = new Set<string>();
  return panel.zones.map((zone) => {
    const area = zone.axis === 'x' ? acrossX(zone, x, box) : acrossY(zone, y, box);
    const fits = textWidthPx(zone.label, fontPx) <= area.width - fontPx && area.height > fontPx * 1.6;
    if (!fits || said.has(zone.label)) return area;
    said.add(zone.label);
    const at = (baseline: number) => quietText(zone.label, area.x + fontPx * 0.5, baseline, fontPx);
    const places = [at(area.y + fontPx * 1.2), at(area.y + area.height - fontPx * 0.6)];
    return { ...area, label: firstFree(places, isFree) };
  });
}

function labelBoxes(items: readonly { readonly label?: PlacedText }[]): Box[] {
  return items.flatMap(({ label }) => (label ? [textBox(label)] : []));
}

function overlap(a: Box, b: Box): boolean {
  return a.x < b.x + b.width && b.x < a.x + a.width && a.y < b.y + b.height && b.y < a.y + a.height;
}

function firstFree(places: readonly PlacedText[], isFree: IsFree): PlacedText {
  const found = places.find((text) => isFree(textBox(text))) ?? places[0];
  if (!found) throw new Error('A label needs at least one place.');
  return found;
}

function quietText(
  text: string,
  x: number,
  y: number,
  fontPx: number,
  anchor: PlacedText['anchor'] = 'start',
): PlacedText {
  return { text, x, y, anchor, fontPx, weight: 400, tone: 'quiet' };
}

function acrossX({ from, to }: { readonly from: number; readonly to: number }, x: AxisScale, box: Box): Box {
  const left = Math.min(Math.max(x.pxOf(from), box.x), box.x + box.width);
  const right = Math.min(Math.max(x.pxOf(to), left), box.x + box.width);
  return { x: left, y: box.y, width: right - left, height: box.height };
}

function acrossY({ from, to }: { readonly from: number; readonly to: number }, y: AxisScale, box: Box): Box {
  const top = Math.min(Math.max(y.pxOf(Math.max(from, to)), box.y), box.y + box.height);
  const bottom = Math.min(Math.max(y.pxOf(Math.min(from, to)), top), box.y + box.height);
  return { x: box.x, y: top, width: box.width, height: bottom - top };
}

function layoutGuides(
  panel: FigurePanel,
  y: AxisScale,
  box: Box,
  size: FigureSize,
  isFree: IsFree,
): GuideLayout[] {
  const fontPx = size.fontPx * TICK_SCALE;
  return panel.guides.flatMap(({ value, label }) => {
    const at = y.pxOf(value);
    if (!Number.isFinite(at) || at < box.y || at > box.y + box.height) return [];
    const left = box.x + fontPx * 0.5;
    const right = box.x + box.width - fontPx * 0.5;
    const baselines = [at - fontPx * 0.35, at + fontPx * 1.05].filter(
      (baseline) => baseline > box.y + fontPx && baseline < box.y + box.height - fontPx * 0.3,
    );
    const places = baselines.flatMap((baseline) => [
      quietText(label, left, baseline, fontPx),
      quietText(label, right, baseline, fontPx, 'end'),
    ]);
    return places.length > 0 ? [{ y: at, label: firstFree(places, isFree) }] : [{ y: at }];
  });
}
