import { angleAt } from '../orbits/angleAt.js';
import type { Directivity } from '../orbits/directivity.js';
import type { OrbitAngle } from './curveMembers.js';

/** Squared pressures of all named angles, in their order; undefined when any is missing. */
export function gatherMembers(
  directivity: Directivity,
  members: readonly OrbitAngle[],
): Float64Array[] | undefined {
  const gathered: Float64Array[] = [];
  for (const { orbit, angleDeg } of members) {
    const found = angleAt(directivity, orbit, angleDeg);
    if (found === undefined) return undefined;
    gathered.push(found.pressureSquared);
  }
  return gathered;
}
