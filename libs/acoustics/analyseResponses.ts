import type { AnalysisResult, AnalysisSettings, Curves } from './analysis.js';
import { computeCurves } from './curves/computeCurves.js';
import { directivityMap } from './directivity/directivityMap.js';
import { horizontalCoverage } from './directivity/horizontalCoverage.js';
import { verticalCoverage } from './directivity/verticalCoverage.js';
import type { Directivity } from './orbits/directivity.js';
import { present } from './present.js';
import { bassLimits } from './response/bassLimits.js';
import { bassReferenceDb } from './response/bassReferenceDb.js';
import { flatness } from './response/flatness.js';
import { inRoomTrend } from './response/inRoomTrend.js';
import { predictedPreference } from './response/predictedPreference.js';
import { sensitivity } from './response/sensitivity.js';

/** What the orbits give. */
export type ResponseParts = Pick<
  AnalysisResult,
  | 'frequencyHz'
  | 'curves'
  | 'sensitivity'
  | 'bass'
  | 'flatness'
  | 'inRoomTrend'
  | 'predictedPreference'
  | 'horizontal'
  | 'vertical'
  | 'maps'
>;

/** Curves, the figures read off them, coverage and maps; a part the angles can't give is left out. */
export function analyseResponses(directivity: Directivity, settings: AnalysisSettings): ResponseParts {
  const frequencyHz = Array.from(directivity.frequencyHz);
  const curves = computeCurves(directivity, settings);
  return present({
    frequencyHz,
    curves,
    ...figures(frequencyHz, curves),
    horizontal: horizontalCoverage(directivity),
    vertical: verticalCoverage(directivity),
    maps: maps(directivity),
  });
}

type Optional<T> = { [K in keyof T]: T[K] | undefined };

function figures(frequencyHz: readonly number[], curves: Curves): Optional<ResponseParts> {
  const { onAxis, estimatedInRoom } = curves;
  const reference = onAxis && sensitivity(frequencyHz, onAxis);
  const referenceDb = reference?.db ?? (onAxis && bassReferenceDb(frequencyHz, onAxis));
  const bass = onAxis && referenceDb !== undefined && bassLimits(frequencyHz, onAxis, referenceDb);
  return {
    sensitivity: reference,
    bass: bass && Object.keys(bass).length > 0 ? bass : undefined,
    flatness: flatness(frequencyHz, curves),
    inRoomTrend: estimatedInRoom && inRoomTrend(frequencyHz, estimatedInRoom),
    predictedPreference: predictedPreference(frequencyHz, curves),
  };
}

function maps(directivity: Directivity): AnalysisResult['maps'] {
  const both = present({
    horizontal: directivityMap(directivity, 'horizontal'),
    vertical: directivityMap(directivity, 'vertical'),
  });
  return Object.keys(both).length === 0 ? undefined : both;
}
