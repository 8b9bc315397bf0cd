import type { DirectivityMap } from '../analysis.js';

/** Between readings farther apart than this nothing is claimed. */
const WIDEST_GAP_DEG = 20;

/**
 * The response at any angle of an orbit, interpolated in dB between the two nearest readings.
 *
 * @param angleDeg in (-180, 180]
 * @returns dB, one per map frequency; undefined when no readings within 20 degrees of each other enclose it
 */
export function levelsAtAngle(map: DirectivityMap, angleDeg: number): number[] | undefined {
  const exact = map.angleDeg.indexOf(angleDeg);
  if (exact !== -1) return [...map.levelDb[exact]];
  const next = map.angleDeg.findIndex((angle) => angle > angleDeg);
  if (next <= 0) return wrapped(map, angleDeg);
  return between(
    map.levelDb[next - 1],
    map.angleDeg[next - 1],
    map.levelDb[next],
    map.angleDeg[next],
    angleDeg,
  );
}

/** -175 lies between 180, the last row, and -170, the first. */
function wrapped(map: DirectivityMap, angleDeg: number): number[] | undefined {
  const last = map.angleDeg.length - 1;
  if (map.angleDeg[last] !== 180 || angleDeg >= map.angleDeg[0]) return undefined;
  return between(map.levelDb[last], -180, map.levelDb[0], map.angleDeg[0], angleDeg);
}

function between(
  lower: readonly number[],
  lowerDeg: number,
  upper: readonly number[],
  upperDeg: number,
  angleDeg: number,
): number[] | undefined {
  if (upperDeg - lowerDeg > WIDEST_GAP_DEG) return undefined;
  const share = (angleDeg - lowerDeg) / (upperDeg - lowerDeg);
  return lower.map((level, at) => level + share * (upper[at] - level));
}
