import type { GridAngle } from '../orbits/directivity.js';

/** Readings farther apart than this say nothing about the angles between them. */
const WIDEST_GAP_DEG = 20;
/** A side measured less far out can't tell a coverage angle from the end of the data. */
const LEAST_REACH_DEG = 60;

/**
 * Per frequency, the angle at which the level first falls a given amount below the axis, going outwards
 * and interpolating in dB between two readings.
 *
 * @param side one side of an orbit, the axis first, then rising distance (`orbitSide`)
 * @param dropDb how far below on axis, positive
 * @returns degrees from the axis, one per grid frequency; the last measured angle where the level never
 *   falls so far. Undefined when readings are more than 20 degrees apart or end before 60 degrees
 */
export function dropAngles(side: readonly GridAngle[], dropDb: number): number[] | undefined {
  const reachable = contiguous(side);
  const farthest = reachable.at(-1);
  if (farthest === undefined || Math.abs(farthest.angleDeg) < LEAST_REACH_DEG) return undefined;
  const axis = reachable[0].levelDb;
  return Array.from(axis, (_, at) => firstDrop(reachable, at, dropDb));
}

function contiguous(side: readonly GridAngle[]): GridAngle[] {
  const end = side.findIndex(
    (angle, at) => at > 0 && Math.abs(angle.angleDeg) - Math.abs(side[at - 1].angleDeg) > WIDEST_GAP_DEG,
  );
  return end === -1 ? [...side] : side.slice(0, end);
}

function firstDrop(side: readonly GridAngle[], at: number, dropDb: number): number {
  const thresholdDb = side[0].levelDb[at] - dropDb;
  for (let k = 1; k < side.length; k += 1) {
    const outer = side[k].levelDb[at];
    if (outer > thresholdDb) continue;
    const inner = side[k - 1].levelDb[at];
    const innerDeg = Math.abs(side[k - 1].angleDeg);
    const stepDeg = Math.abs(side[k].angleDeg) - innerDeg;
    return innerDeg + stepDeg * ((inner - thresholdDb) / (inner - outer));
  }
  return Math.abs(side.at(-1)!.angleDeg);
}
