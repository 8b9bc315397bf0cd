/** A map's image, contour and colour scale. */
import type { FigureMap, FigurePanel } from '../description.js';
import { formatNumber } from '../formatQuantity.js';
import type { AxisScale } from './axisScale.js';
import { contourPath } from './contourPath.js';
import type { Box, MapLayout, PlacedText } from './figureLayout.js';
import { mapColourHex } from './mapColours.js';
import { mapImage } from './mapImage.js';

const BAR_STEPS = 48;
const TICK_DB = 6;

/** How much room the colour scale takes right of the panel. */
export function barGutterPx(fontPx: number): number {
  return fontPx * 4.2;
}

export function layoutMap(
  map: FigureMap,
  panel: FigurePanel,
  x: AxisScale,
  y: AxisScale,
  box: Box,
  fontPx: number,
): MapLayout {
  const bar: Box = { x: box.x + box.width + fontPx, y: box.y, width: fontPx, height: box.height };
  const [low, high] = map.colourDb;
  const yOfDb = (levelDb: number) => bar.y + (bar.height * (high - levelDb)) / (high - low);
  return {
    href: mapImage(map, panel.x, panel.y),
    contour: contourPath(map, map.contourDb, panel.x, x, y),
    contourDb: map.contourDb,
    bar,
    barStops: Array.from({ length: BAR_STEPS }, (_, index) => ({
      offset: index / BAR_STEPS,
      colour: mapColourHex(1 - (index + 0.5) / BAR_STEPS),
    })),
    barTicks: barTicks(low, high, yOfDb, bar, fontPx),
    barContourY: yOfDb(map.contourDb),
  };
}

function barTicks(
  low: number,
  high: number,
  yOfDb: (levelDb: number) => number,
  bar: Box,
  fontPx: number,
): PlacedText[] {
  const first = Math.ceil(low / TICK_DB) * TICK_DB;
  const count = Math.floor((high - first) / TICK_DB) + 1;
  const size = fontPx * 0.9;
  return Array.from({ length: count }, (_, index) => {
    const levelDb = first + index * TICK_DB;
    const isTop = index === count - 1;
    const text = isTop ? `${formatNumber(levelDb)} dB` : formatNumber(levelDb);
    const y = Math.min(Math.max(yOfDb(levelDb), bar.y + size * 0.3), bar.y + bar.height - size * 0.3);
    return {
      text,
      x: bar.x + bar.width + fontPx * 0.4,
      y: y + size * 0.35,
      anchor: 'start',
      fontPx: size,
      weight: 400,
      tone: 'quiet',
    };
  });
}
