import { ALGORITHM_VERSION } from './algorithmVersion.js';
import type { AnalysisResult, AnalysisSettings, Curves } from './analysis.js';
import { computeCurves } from './curves/computeCurves.js';
import { defaultSettings } from './defaultSettings.js';
import { directivityMap } from './directivity/directivityMap.js';
import { horizontalCoverage } from './directivity/horizontalCoverage.js';
import { verticalCoverage } from './directivity/verticalCoverage.js';
import { analyseImpedance } from './impedance/analyseImpedance.js';
import type { Directivity } from './orbits/directivity.js';
import { prepareDirectivity } from './orbits/prepareDirectivity.js';
import { checkQuality } from './quality/checkQuality.js';
import { bassLimits } from './response/bassLimits.js';
import { flatness } from './response/flatness.js';
import { inRoomTrend } from './response/inRoomTrend.js';
import { predictedPreference } from './response/predictedPreference.js';
import { sensitivity } from './response/sensitivity.js';
import type { MeasurementSet } from './series.js';

/**
 * Everything a measurement set can tell: curves, figures, findings and what is wrong with the data.
 * Pure and synchronous; the same set and settings always give the same result.
 */
export function analyse(set: MeasurementSet, settings: Partial<AnalysisSettings> = {}): AnalysisResult {
  const chosen: AnalysisSettings = { ...defaultSettings, ...settings };
  const directivity = prepareDirectivity(set);
  const [series] = set.impedance;
  const impedance = series && analyseImpedance(series, set.conditions.ratedOhm);
  return {
    schema: 'sojourn.analysis/1',
    algorithmVersion: ALGORITHM_VERSION,
    settings: chosen,
    inputs: set.inputs,
    ...(directivity && responseParts(directivity, chosen)),
    ...(impedance && { impedance }),
    quality: checkQuality(set, directivity, set.quality),
  };
}

type ResponseParts = Pick<
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

function responseParts(directivity: Directivity, settings: AnalysisSettings): ResponseParts {
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

function figures(frequencyHz: readonly number[], curves: Curves): Optional<ResponseParts> {
  const { onAxis, estimatedInRoom } = curves;
  const reference = onAxis && sensitivity(frequencyHz, onAxis);
  return {
    sensitivity: reference,
    bass: onAxis && reference && bassLimits(frequencyHz, onAxis, reference.db),
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

type Optional<T> = { [K in keyof T]: T[K] | undefined };

/** Leaves out what is undefined: a key stands only for data that exists. */
function present<T extends object>(parts: T): { [K in keyof T]: Exclude<T[K], undefined> } {
  const kept = Object.entries(parts).filter(([, value]) => value !== undefined);
  return Object.fromEntries(kept) as { [K in keyof T]: Exclude<T[K], undefined> };
}
