import type { AnalysisResult } from '../../../libs/acoustics/analysis.js';
import type { Conditions } from '../../../libs/acoustics/series.js';

/** "1 m, 2.83 V, grille off, axis: tweeter, 20 C"; '' when nothing is stated. */
export function sayConditions(conditions: Conditions): string {
  const { distanceM, driveVolts, grille, referenceAxis, temperatureC, mirrorHorizontal, gateMs } = conditions;
  return [
    distanceM === undefined ? '' : `${distanceM} m`,
    driveVolts === undefined ? '' : `${driveVolts} V`,
    grille === undefined ? '' : `grille ${grille}`,
    referenceAxis === undefined ? '' : `axis: ${referenceAxis}`,
    temperatureC === undefined ? '' : `${temperatureC} \u00b0C`,
    gateMs === undefined ? '' : `gate ${gateMs} ms`,
    mirrorHorizontal === true ? 'horizontal half mirrored' : '',
  ]
    .filter((part) => part !== '')
    .join(', ');
}

const EARLY_REFLECTIONS = {
  'five-group-mean': 'early reflections as the mean of five groups',
  'all-curves-mean': 'early reflections as the mean of all curves',
} as const;
const REAR_WALL = { nineteen: 'rear wall of 19 curves', three: 'rear wall of 3 curves' } as const;

/** How the numbers came about, in one line: what would have to be equal to get them again. */
export function sayProvenance({ algorithmVersion, settings, inputs }: AnalysisResult): string {
  const files = inputs.length === 1 ? `1 file (${inputs[0].sha256.slice(0, 12)})` : `${inputs.length} files`;
  return `algorithm ${algorithmVersion}; ${EARLY_REFLECTIONS[settings.earlyReflections]}; ${REAR_WALL[settings.rearWall]}; ${files}`;
}
