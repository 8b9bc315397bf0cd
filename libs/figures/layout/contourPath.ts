/** The line of one level through a map. */
import type { Axis, FigureMap } from '../description.js';
import type { AxisScale } from './axisScale.js';
import { isHole, mapRows, type MapRow } from './mapRows.js';

/** One grid with room for the crossings: edge 2k runs right from node k, edge 2k + 1 runs up from it. */
interface Crossings {
  readonly columns: number;
  /** The two edges each edge's crossing is joined to; -1 for none. */
  readonly links: Int32Array;
  readonly used: number[];
}

/**
 * Path data of the contour at `levelDb`, by marching squares on the map's own grid with straight interpolation along
 * its edges; saddles are split by the cell's mean. Cells across holes or unknown values have no contour. Only
 * frequencies on the frequency `axis` take part.
 */
export function contourPath(map: FigureMap, levelDb: number, axis: Axis, x: AxisScale, y: AxisScale): string {
  const { rows, stepDeg } = mapRows(withinAxis(map, axis));
  const frequencies = map.frequencyHz.filter((hz) => isOnAxis(hz, axis));
  const columns = frequencies.length;
  const crossings: Crossings = {
    columns,
    links: new Int32Array(4 * columns * rows.length).fill(-1),
    used: [],
  };
  for (let row = 0; row + 1 < rows.length; row += 1) {
    const below = rows[row];
    const above = rows[row + 1];
    if (below && above && !isHole(below, above, stepDeg)) joinRow(crossings, row, below, above, levelDb);
  }
  const xs = frequencies.map((hz) => x.pxOf(hz));
  const ys = rows.map(({ angleDeg }) => y.pxOf(angleDeg));
  const place = (edge: number) => crossingPx(edge, columns, rows, levelDb, xs, ys);
  return chains(crossings)
    .map((chain) => `M${chain.map(place).join('L')}`)
    .join('');
}

function withinAxis(map: FigureMap, axis: Axis): FigureMap {
  if (map.frequencyHz.every((hz) => isOnAxis(hz, axis))) return map;
  const levelDb = map.levelDb.map((row) =>
    row.filter((_, index) => isOnAxis(map.frequencyHz[index] ?? 0, axis)),
  );
  return { ...map, levelDb };
}

function isOnAxis(hz: number, { domain }: Axis): boolean {
  return hz >= domain[0] && hz <= domain[1];
}

function joinRow(crossings: Crossings, row: number, below: MapRow, above: MapRow, levelDb: number): void {
  for (let column = 0; column + 1 < crossings.columns; column += 1) {
    const a = below.levelDb[column] ?? NaN;
    const b = below.levelDb[column + 1] ?? NaN;
    const c = above.levelDb[column + 1] ?? NaN;
    const d = above.levelDb[column] ?? NaN;
    const sum = a + b + c + d;
    if (Number.isNaN(sum)) continue;
    const kind =
      (a >= levelDb ? 1 : 0) + (b >= levelDb ? 2 : 0) + (c >= levelDb ? 4 : 0) + (d >= levelDb ? 8 : 0);
    if (kind === 0 || kind === 15) continue;
    joinCell(crossings, row, column, kind, sum / 4 >= levelDb);
  }
}

function joinCell(
  crossings: Crossings,
  row: number,
  column: number,
  kind: number,
  isCentreHigh: boolean,
): void {
  const node = row * crossings.columns + column;
  const bottom = 2 * node;
  const top = 2 * (node + crossings.columns);
  const left = 2 * node + 1;
  const right = 2 * (node + 1) + 1;
  const low = kind > 7 ? 15 - kind : kind;
  if (kind === 5 || kind === 10) {
    const cornersA = (kind === 5) === isCentreHigh;
    join(crossings, left, cornersA ? top : bottom);
    join(crossings, right, cornersA ? bottom : top);
  } else if (low === 1) join(crossings, left, bottom);
  else if (low === 2) join(crossings, bottom, right);
  else if (low === 4) join(crossings, right, top);
  else if (low === 7) join(crossings, left, top);
  else if (low === 3) join(crossings, left, right);
  else join(crossings, bottom, top);
}

function join({ links, used }: Crossings, a: number, b: number): void {
  link(links, a, b);
  link(links, b, a);
  used.push(a, b);
}

function link(links: Int32Array, from: number, to: number): void {
  links[2 * from + (links[2 * from] === -1 ? 0 : 1)] = to;
}

/** Joined crossings end to end: open lines first, from their ends, then loops. */
function chains({ links, used }: Crossings): number[][] {
  const done = new Set<number>();
  const ends = used.filter((edge) => links[2 * edge + 1] === -1);
  return [...ends, ...used].flatMap((edge) => (done.has(edge) ? [] : [follow(edge, links, done)]));
}

function follow(start: number, links: Int32Array, done: Set<number>): number[] {
  const chain = [start];
  done.add(start);
  let edge = start;
  for (;;) {
    const neighbours: number[] = [links[2 * edge] ?? -1, links[2 * edge + 1] ?? -1];
    const next = neighbours.find((neighbour) => neighbour !== -1 && !done.has(neighbour));
    if (next === undefined) {
      if (chain.length > 2 && neighbours.includes(start)) chain.push(start);
      return chain;
    }
    chain.push(next);
    done.add(next);
    edge = next;
  }
}

function crossingPx(
  edge: number,
  columns: number,
  rows: readonly MapRow[],
  levelDb: number,
  xs: readonly number[],
  ys: readonly number[],
): string {
  const node = edge >> 1;
  const row = Math.floor(node / columns);
  const column = node % columns;
  const from = rows[row]?.levelDb[column] ?? levelDb;
  const isUp = (edge & 1) === 1;
  const to = (isUp ? rows[row + 1]?.levelDb[column] : rows[row]?.levelDb[column + 1]) ?? levelDb;
  const share = to === from ? 0 : (levelDb - from) / (to - from);
  const x0 = xs[column] ?? 0;
  const y0 = ys[row] ?? 0;
  const x = isUp ? x0 : x0 + share * ((xs[column + 1] ?? x0) - x0);
  const y = isUp ? y0 + share * ((ys[row + 1] ?? y0) - y0) : y0;
  return `${Math.round(x * 10) / 10},${Math.round(y * 10) / 10}`;
}
