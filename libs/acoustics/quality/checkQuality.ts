import type { Directivity } from '../orbits/directivity.js';
import type { MeasurementSet, QualityFinding, QualitySeverity } from '../series.js';
import { axisDisagreement } from './axisDisagreement.js';
import { bassPlateau } from './bassPlateau.js';
import { conditionsDiffer } from './conditionsDiffer.js';
import { duplicateAngles } from './duplicateAngles.js';
import { gridDiffers } from './gridDiffers.js';
import { identicalData } from './identicalData.js';
import { identicalInputs } from './identicalInputs.js';
import { impedanceFaults } from './impedanceFaults.js';
import { leftRightAsymmetry } from './leftRightAsymmetry.js';
import { levelSteps } from './levelSteps.js';
import { mirroredAngles } from './mirroredAngles.js';
import { missingAngles } from './missingAngles.js';
import { noiseFloor } from './noiseFloor.js';
import { orbitsAlike } from './orbitsAlike.js';
import { outOfFamily } from './outOfFamily.js';
import { polarityFlips } from './polarityFlips.js';
import { type QualityContext, qualityContext } from './qualityContext.js';
import { statedConditions } from './statedConditions.js';
import { swappedOrbits } from './swappedOrbits.js';
import { turnedOrbit } from './turnedOrbit.js';
import { withEvidence } from './withEvidence.js';
import { wrongSign } from './wrongSign.js';

const CHECKS: readonly ((context: QualityContext) => QualityFinding[])[] = [
  missingAngles,
  duplicateAngles,
  identicalData,
  identicalInputs,
  conditionsDiffer,
  axisDisagreement,
  swappedOrbits,
  orbitsAlike,
  turnedOrbit,
  wrongSign,
  levelSteps,
  outOfFamily,
  leftRightAsymmetry,
  polarityFlips,
  noiseFloor,
  bassPlateau,
  gridDiffers,
  impedanceFaults,
  statedConditions,
  mirroredAngles,
];

const ORDER: readonly QualitySeverity[] = ['blocking', 'check', 'note'];

/**
 * All data-quality checks on a set: what must be measured again before the unit leaves, what to look at,
 * what to keep in mind.
 *
 * @param set with impulses and recordings already turned into responses
 * @param directivity the same set on the common grid; undefined when it has no responses
 * @param earlier what reading the files and recordings noticed
 * @returns blocking first; the same finding never twice
 */
export function checkQuality(
  set: MeasurementSet,
  directivity: Directivity | undefined,
  earlier: readonly QualityFinding[] = [],
): QualityFinding[] {
  const context = qualityContext(set, directivity);
  const found = CHECKS.flatMap((check) => check(context)).map((finding) => withEvidence(context, finding));
  const all = [...earlier, ...found];
  const seen = new Set<string>();
  return all
    .filter(({ code, file, message }) => {
      const print = [code, file ?? '', message].join('\n');
      return !seen.has(print) && seen.add(print);
    })
    .sort((one, other) => ORDER.indexOf(one.severity) - ORDER.indexOf(other.severity));
}
