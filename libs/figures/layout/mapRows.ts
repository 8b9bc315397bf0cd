/** A map's rows made ready for interpolation: the circle closed, holes kept as holes. */
import type { FigureMap } from '../description.js';

export interface MapRow {
  readonly angleDeg: number;
  readonly levelDb: readonly (number | null)[];
}

export interface MapRows {
  readonly rows: readonly MapRow[];
  /** The usual step between rows, degrees; neighbours more than 1.75 steps apart have a hole between them. */
  readonly stepDeg: number;
}

/** Rows in rising angle; a full circle gets rows at exactly -180 and 180, which are one place. */
export function mapRows(map: FigureMap): MapRows {
  const rows = map.angleDeg.map((angleDeg, index) => ({ angleDeg, levelDb: map.levelDb[index] ?? [] }));
  const steps = rows.slice(1).map(({ angleDeg }, index) => angleDeg - (rows[index]?.angleDeg ?? angleDeg));
  const stepDeg = steps.toSorted((a, b) => a - b)[Math.floor(steps.length / 2)] ?? 10;
  const first = rows[0];
  const last = rows.at(-1);
  if (!first || !last || first.angleDeg + 360 - last.angleDeg > stepDeg * 1.75) return { rows, stepDeg };
  const levelDb = behind(last, first);
  const before = { angleDeg: -180, levelDb };
  const after = last.angleDeg < 180 ? [{ angleDeg: 180, levelDb }] : [];
  return { rows: [before, ...rows, ...after], stepDeg };
}

/** The row straight behind, between the last row and the first one a turn on. */
function behind(last: MapRow, first: MapRow): readonly (number | null)[] {
  if (last.angleDeg === 180) return last.levelDb;
  const share = (180 - last.angleDeg) / (first.angleDeg + 360 - last.angleDeg);
  return last.levelDb.map((level, index) => {
    const next = first.levelDb[index] ?? null;
    return level === null || next === null ? null : level + share * (next - level);
  });
}

export function isHole(lower: MapRow, upper: MapRow, stepDeg: number): boolean {
  return upper.angleDeg - lower.angleDeg > stepDeg * 1.75;
}
