/** A map as an image. */
import type { Axis, FigureMap } from '../description.js';
import { axisScale } from './axisScale.js';
import { indexedPng } from './indexedPng.js';
import { mapColour } from './mapColours.js';
import { isHole, mapRows, type MapRows } from './mapRows.js';

const COLOURS = 255;
const ROWS = 90;
const COLUMNS = 220;

/** Between which two rows or columns a pixel lies, and how far along; `lower` is -1 where nothing is known. */
interface Between {
  readonly lower: number;
  readonly upper: number;
  readonly share: number;
}

/** Levels interpolated in dB over log frequency and angle; transparent where nothing was measured. */
export function mapImage(map: FigureMap, x: Axis, y: Axis): string {
  const source = mapRows(map);
  const xScale = axisScale(x, 0, COLUMNS);
  const yScale = axisScale(y, ROWS, 0);
  const columns = Array.from({ length: COLUMNS }, (_, i) =>
    columnAt(map.frequencyHz, xScale.valueAt(i + 0.5)),
  );
  const lines = Array.from({ length: ROWS }, (_, i) => rowAt(source, yScale.valueAt(i + 0.5)));
  const pixels = new Uint8Array(COLUMNS * ROWS);
  const [low, high] = map.colourDb;
  lines.forEach((line, row) => fillRow(pixels.subarray(row * COLUMNS), source, line, columns, low, high));
  return indexedPng(pixels, COLUMNS, ROWS, palette());
}

function fillRow(
  out: Uint8Array,
  { rows }: MapRows,
  line: Between,
  columns: readonly Between[],
  low: number,
  high: number,
): void {
  const lower = rows[line.lower]?.levelDb;
  const upper = rows[line.upper]?.levelDb;
  if (!lower || !upper) return;
  for (let column = 0; column < columns.length; column += 1) {
    const at = columns[column];
    if (!at || at.lower < 0) continue;
    const a = lower[at.lower] ?? NaN;
    const b = lower[at.upper] ?? NaN;
    const c = upper[at.lower] ?? NaN;
    const d = upper[at.upper] ?? NaN;
    const level = (1 - line.share) * (a + at.share * (b - a)) + line.share * (c + at.share * (d - c));
    if (Number.isNaN(level)) continue;
    const share = Math.min(Math.max((level - low) / (high - low), 0), 1);
    out[column] = 1 + Math.round(share * (COLOURS - 1));
  }
}

function columnAt(frequencies: readonly number[], hz: number): Between {
  const upper = frequencies.findIndex((frequency) => frequency >= hz);
  if (upper < 0) return { lower: -1, upper: -1, share: 0 };
  if (upper === 0) return { lower: frequencies[0] === hz ? 0 : -1, upper: 0, share: 0 };
  const from = frequencies[upper - 1] ?? hz;
  const share = Math.log(hz / from) / Math.log((frequencies[upper] ?? hz) / from);
  return { lower: upper - 1, upper, share: Number.isFinite(share) ? share : 0 };
}

/** Across a hole each row speaks for half a step about itself and no further. */
function rowAt({ rows, stepDeg }: MapRows, angleDeg: number): Between {
  const upper = rows.findIndex((row) => row.angleDeg >= angleDeg);
  const above = rows[upper];
  const below = rows[upper - 1];
  if (!above || !below) return edgeRow(rows, above ? upper : rows.length - 1, angleDeg);
  if (!isHole(below, above, stepDeg)) {
    const share = (angleDeg - below.angleDeg) / (above.angleDeg - below.angleDeg);
    return { lower: upper - 1, upper, share };
  }
  if (angleDeg - below.angleDeg <= stepDeg / 2) return { lower: upper - 1, upper: upper - 1, share: 0 };
  if (above.angleDeg - angleDeg <= stepDeg / 2) return { lower: upper, upper, share: 0 };
  return { lower: -1, upper: -1, share: 0 };
}

function edgeRow(rows: MapRows['rows'], nearest: number, angleDeg: number): Between {
  const near = rows[nearest];
  const known = near !== undefined && near.angleDeg === angleDeg;
  return known ? { lower: nearest, upper: nearest, share: 0 } : { lower: -1, upper: -1, share: 0 };
}

let colours: Uint8Array | undefined;

function palette(): Uint8Array {
  if (colours) return colours;
  colours = new Uint8Array(3 * (COLOURS + 1));
  for (let index = 0; index < COLOURS; index += 1) {
    colours.set(mapColour(index / (COLOURS - 1)), 3 * (index + 1));
  }
  return colours;
}
