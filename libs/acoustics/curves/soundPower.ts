import { weightedSum } from '../levels/weightedSum.js';
import type { OrbitAngle } from './curveMembers.js';
import { soundPowerWeight } from './soundPowerWeight.js';

/**
 * Mean squared pressure over the sphere from the 70 directions of two orbits.
 *
 * Two great circles are not the sphere: for sources of revolution the result differs from the exact one
 * by up to about 1 dB (see the tests), at any step.
 *
 * @param members directions, 0 and 180 once each
 * @param pressures squared pressures in the same order
 */
export function soundPower(members: readonly OrbitAngle[], pressures: readonly Float64Array[]): Float64Array {
  const weights = members.map(({ angleDeg }) => {
    const shared = angleDeg === 0 || angleDeg === 180;
    return soundPowerWeight(Math.abs(angleDeg)) * (shared ? 4 : 1);
  });
  return weightedSum(pressures, weights);
}
