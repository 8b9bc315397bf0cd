import type { VerticalNull } from '../analysis.js';
import { angleAt } from '../orbits/angleAt.js';
import type { Directivity, GridAngle } from '../orbits/directivity.js';
import type { Orbit } from '../series.js';

const FROM_HZ = 300;
/** Crossovers lie below; above, a driver's own pattern has nulls. */
const TO_HZ = 6000;
const WIDEST_DEG = 60;
/** A hole must stand this far below the axis, and this far below its own shoulders. */
const LEAST_DEPTH_DB = 6;
/** The angle's own response must dip too, or the hole is only a peak on axis. */
const LEAST_OWN_DIP_DB = 3;
const SHOULDER_OCTAVES = 1;
const SAME_HOLE_OCTAVES = 1 / 3;
const MOST_NULLS = 6;

interface Hole extends VerticalNull {
  readonly side: 1 | -1;
}

/**
 * Holes in an orbit (the vertical one unless told otherwise) within 60 degrees of the axis, 300 Hz to 6 kHz, as the spacing of drivers
 * makes around a crossover: the level against the axis dips by 6 dB or more and recovers by 6 dB within an
 * octave on both sides in frequency.
 *
 * One hole seen at neighbouring angles is reported once, where it is deepest.
 *
 * @returns deepest first, at most six; `depthDb` is the loss against on axis, positive
 */
export function verticalNulls(directivity: Directivity, orbit: Orbit = 'vertical'): VerticalNull[] {
  const axis = angleAt(directivity, orbit, 0);
  if (axis === undefined) return [];
  const holes = directivity.angles
    .filter(
      (angle) => angle.orbit === orbit && angle.angleDeg !== 0 && Math.abs(angle.angleDeg) <= WIDEST_DEG,
    )
    .flatMap((angle) => holesAt(directivity.frequencyHz, axis, angle))
    .sort((one, other) => other.depthDb - one.depthDb);
  const kept: Hole[] = [];
  for (const hole of holes) if (!kept.some((deeper) => isSameHole(deeper, hole))) kept.push(hole);
  return kept
    .slice(0, MOST_NULLS)
    .map(({ frequencyHz, angleDeg, depthDb }) => ({ frequencyHz, angleDeg, depthDb }));
}

function holesAt(frequencyHz: Float64Array, axis: GridAngle, angle: GridAngle): Hole[] {
  const relative = angle.levelDb.map((level, at) => level - axis.levelDb[at]);
  const holes: Hole[] = [];
  for (let at = 1; at < relative.length - 1; at += 1) {
    const hz = frequencyHz[at];
    if (hz < FROM_HZ || hz > TO_HZ || relative[at] > -LEAST_DEPTH_DB) continue;
    if (relative[at] > relative[at - 1] || relative[at] >= relative[at + 1]) continue;
    if (prominence(frequencyHz, relative, at) < LEAST_DEPTH_DB) continue;
    if (prominence(frequencyHz, angle.levelDb, at) < LEAST_OWN_DIP_DB) continue;
    holes.push({
      frequencyHz: hz,
      angleDeg: angle.angleDeg,
      depthDb: -relative[at],
      side: angle.angleDeg > 0 ? 1 : -1,
    });
  }
  return holes;
}

/** How far the curve rises within an octave on its lower shoulder: the lesser of the two sides. */
function prominence(frequencyHz: Float64Array, values: Float64Array, at: number): number {
  const lowest = frequencyHz[at] / 2 ** SHOULDER_OCTAVES;
  const highest = frequencyHz[at] * 2 ** SHOULDER_OCTAVES;
  let left = values[at];
  let right = values[at];
  for (let i = at - 1; i >= 0 && frequencyHz[i] >= lowest; i -= 1) {
    if (values[i] < values[at]) break;
    left = Math.max(left, values[i]);
  }
  for (let i = at + 1; i < values.length && frequencyHz[i] <= highest; i += 1) {
    if (values[i] < values[at]) break;
    right = Math.max(right, values[i]);
  }
  return Math.min(left, right) - values[at];
}

function isSameHole(deeper: Hole, hole: Hole): boolean {
  const apart = Math.abs(Math.log2(deeper.frequencyHz / hole.frequencyHz));
  const stepsApart = Math.abs(deeper.angleDeg - hole.angleDeg) / 10;
  // A hole moves in frequency with the angle: allow more for every step away.
  return deeper.side === hole.side && apart <= SAME_HOLE_OCTAVES * Math.max(1, stepsApart);
}
