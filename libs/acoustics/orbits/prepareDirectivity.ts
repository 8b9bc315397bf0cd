import { applyInterpolation } from '../grid/applyInterpolation.js';
import { type InterpolationPlan, interpolationPlan } from '../grid/interpolationPlan.js';
import { logGridHz } from '../grid/logGridHz.js';
import { levelOffsetDb } from '../levels/levelOffsetDb.js';
import { pressureSquared } from '../levels/pressureSquared.js';
import type { AngleResponse, MeasurementSet } from '../series.js';
import { angleKey } from './angleKey.js';
import type { Directivity, GridAngle } from './directivity.js';
import { groupByAngle } from './groupByAngle.js';
import { mirrorHorizontal } from './mirrorHorizontal.js';
import { nominalAngleDeg } from './nominalAngleDeg.js';
import { sharedRangeHz } from './sharedRangeHz.js';

/**
 * Puts every directivity response of a set on the common grid, normalised to 2.83 V at 1 m.
 *
 * Where an angle is given twice the first is used. A missing horizontal side is taken from the other one
 * only when the conditions say so.
 *
 * @returns undefined when the set holds no directivity response or they share no frequencies in the grid
 */
export function prepareDirectivity(set: MeasurementSet): Directivity | undefined {
  const usable = set.angles.filter((angle) => angle.frequencyHz.length > 0);
  if (usable.length === 0) return undefined;
  const { fromHz, toHz, kept, excluded } = sharedRangeHz(usable);
  const frequencyHz = logGridHz(fromHz, toHz);
  if (frequencyHz.length === 0) return undefined;

  const groups = groupByAngle(kept);
  const planFor = planMaker(frequencyHz);
  const measured = groups.map(([first]) => toGrid(first, set, planFor(first.frequencyHz)));
  const angles = set.conditions.mirrorHorizontal === true ? mirrorHorizontal(measured) : measured;
  angles.sort(byOrbitAndAngle);
  return {
    frequencyHz,
    angles,
    byKey: new Map(angles.map((angle) => [angleKey(angle.orbit, angle.angleDeg), angle])),
    duplicates: groups.filter((group) => group.length > 1),
    excluded,
  };
}

function toGrid(series: AngleResponse, set: MeasurementSet, plan: InterpolationPlan): GridAngle {
  const offsetDb = levelOffsetDb(set.conditions, series.source.conditions);
  const levelDb = applyInterpolation(plan, series.levelDb, offsetDb);
  return {
    orbit: series.orbit,
    angleDeg: nominalAngleDeg(series.angleDeg),
    levelDb,
    pressureSquared: pressureSquared(levelDb),
    mirrored: false,
    series,
  };
}

function byOrbitAndAngle(one: GridAngle, other: GridAngle): number {
  if (one.orbit !== other.orbit) return one.orbit < other.orbit ? -1 : 1;
  return one.angleDeg - other.angleDeg;
}

/** Files of one session nearly always share their frequency column: plan once, use again. */
function planMaker(gridHz: Float64Array): (sourceHz: Float64Array) => InterpolationPlan {
  let lastHz: Float64Array | undefined;
  let plan: InterpolationPlan | undefined;
  return (sourceHz) => {
    if (plan !== undefined && lastHz !== undefined && sameNumbers(lastHz, sourceHz)) return plan;
    lastHz = sourceHz;
    plan = interpolationPlan(sourceHz, gridHz);
    return plan;
  };
}

function sameNumbers(one: Float64Array, other: Float64Array): boolean {
  if (one === other) return true;
  return one.length === other.length && one.every((value, at) => value === other[at]);
}
