import type { DirectivityMap } from '../analysis.js';
import { levelsAtAngle } from './levelsAtAngle.js';

export interface AxisComparison {
  readonly angleDeg: number;
  readonly frequencyHz: readonly number[];
  readonly onAxisDb: readonly number[];
  readonly atAngleDb: readonly number[];
  /** What turning the cabinet by the angle changes: `atAngleDb` less `onAxisDb`. */
  readonly differenceDb: readonly number[];
}

/**
 * What a listener hears off the axis against on it: what turning the cabinet out by the angle does to the
 * direct sound.
 *
 * @param map one orbit
 * @param angleDeg in (-180, 180], interpolated between readings
 * @returns undefined when the axis or the angle is not covered by the map
 */
export function compareWithAxis(map: DirectivityMap, angleDeg: number): AxisComparison | undefined {
  const onAxisDb = levelsAtAngle(map, 0);
  const atAngleDb = levelsAtAngle(map, angleDeg);
  if (onAxisDb === undefined || atAngleDb === undefined) return undefined;
  return {
    angleDeg,
    frequencyHz: map.frequencyHz,
    onAxisDb,
    atAngleDb,
    differenceDb: atAngleDb.map((level, at) => level - onAxisDb[at]),
  };
}
