import type { AnalysisSettings, Curves } from '../analysis.js';
import { meanOf } from '../levels/meanOf.js';
import { toDecibels } from '../levels/toDecibels.js';
import { angleAt } from '../orbits/angleAt.js';
import type { Directivity } from '../orbits/directivity.js';
import { type CurveMembers, curveMembers } from './curveMembers.js';
import { earlyReflections } from './earlyReflections.js';
import { estimatedInRoom } from './estimatedInRoom.js';
import { gatherMembers } from './gatherMembers.js';
import { soundPower } from './soundPower.js';

type CurveSettings = Pick<AnalysisSettings, 'earlyReflections' | 'rearWall'>;
type Pressures = Partial<Record<keyof Curves, Float64Array>>;

const BOUNCES = [
  'floorBounce',
  'ceilingBounce',
  'frontWallBounce',
  'sideWallBounce',
  'rearWallBounce',
] as const satisfies readonly (keyof CurveMembers)[];

/**
 * All curves of ANSI/CTA-2034-A that the measured angles can give. A curve with any member missing is
 * left out: a mean over fewer angles would be another curve under the same name.
 *
 * @returns dB SPL (directivity indices: dB) on the directivity's grid
 */
export function computeCurves(directivity: Directivity, settings: CurveSettings): Curves {
  const pressures = computePressures(directivity, settings);
  const curves: Partial<Record<keyof Curves, number[]>> = {};
  for (const [name, values] of Object.entries(pressures)) {
    curves[name as keyof Curves] = Array.from(toDecibels(values));
  }
  const { listeningWindow, earlyReflections: reflections, soundPower: power } = curves;
  if (listeningWindow && reflections) {
    curves.earlyReflectionsDirectivityIndex = difference(listeningWindow, reflections);
  }
  if (listeningWindow && power) curves.soundPowerDirectivityIndex = difference(listeningWindow, power);
  return curves;
}

function computePressures(directivity: Directivity, settings: CurveSettings): Pressures {
  const members = curveMembers(settings);
  const pressures: Pressures = {};
  const axis = angleAt(directivity, 'horizontal', 0);
  if (axis) pressures.onAxis = axis.pressureSquared;
  const window = gatherMembers(directivity, members.listeningWindow);
  if (window) pressures.listeningWindow = meanOf(window);
  const groups: Float64Array[][] = [];
  for (const name of BOUNCES) {
    const group = gatherMembers(directivity, members[name]);
    if (group === undefined) continue;
    pressures[name] = meanOf(group);
    groups.push(group);
  }
  if (groups.length === BOUNCES.length) {
    pressures.earlyReflections = earlyReflections(groups, settings.earlyReflections);
  }
  const sphere = gatherMembers(directivity, members.soundPower);
  if (sphere) pressures.soundPower = soundPower(members.soundPower, sphere);
  const { listeningWindow, earlyReflections: reflections, soundPower: power } = pressures;
  if (listeningWindow && reflections && power) {
    pressures.estimatedInRoom = estimatedInRoom(listeningWindow, reflections, power);
  }
  return pressures;
}

function difference(minuend: readonly number[], subtrahend: readonly number[]): number[] {
  return minuend.map((value, at) => value - subtrahend[at]);
}
