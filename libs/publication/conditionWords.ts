/** Under what conditions a set was measured, in words. */
import type { AnalysisSettings } from '../acoustics/analysis.js';
import type { Conditions } from '../acoustics/series.js';

export function conditionWords(conditions: Conditions, settings: AnalysisSettings | undefined): string[] {
  const { distanceM, driveVolts, grille, referenceAxis, temperatureC, mirrorHorizontal, gateMs } = conditions;
  return [
    ...(distanceM === undefined ? [] : [`Microphone at ${distanceM} m; levels referred to 1 m`]),
    ...(driveVolts === undefined ? [] : [`Driven with ${driveVolts} V; levels referred to 2.83 V`]),
    ...(grille === undefined ? [] : [`Grille ${grille}`]),
    ...(referenceAxis === undefined ? [] : [`Reference axis: ${referenceAxis}`]),
    ...(temperatureC === undefined ? [] : [`${temperatureC} °C`]),
    ...(mirrorHorizontal === true
      ? ['One horizontal half mirrored from the other: the cabinet is symmetric']
      : []),
    ...(gateMs === undefined ? [] : [`Impulse responses windowed to ${gateMs} ms`]),
    ...(settings ? [readingWords(settings)] : []),
  ];
}

function readingWords({ earlyReflections, rearWall }: AnalysisSettings): string {
  const mean = earlyReflections === 'five-group-mean' ? 'mean of the five groups' : 'mean of all members';
  const rear = rearWall === 'nineteen' ? 'rear wall of 19 curves' : 'rear wall of 3 curves';
  return `Early reflections: ${mean}, ${rear}`;
}
