import { ALGORITHM_VERSION } from './algorithmVersion.js';
import type { AnalysisResult, AnalysisSettings } from './analysis.js';
import { defaultSettings } from './defaultSettings.js';
import { nothingToCorrect } from './equaliser/nothingToCorrect.js';
import { proposeEqualiser } from './equaliser/proposeEqualiser.js';
import { findFindings } from './findings/findFindings.js';
import { analyseImpedance } from './impedance/analyseImpedance.js';
import { analyseResponses } from './analyseResponses.js';
import { prepareDirectivity } from './orbits/prepareDirectivity.js';
import { present } from './present.js';
import { checkQuality } from './quality/checkQuality.js';
import { loudestClean } from './recordings/loudestClean.js';
import { resolveRecordings } from './recordings/resolveRecordings.js';
import { subwooferCrossover } from './recordings/subwooferCrossover.js';
import { summariseCompression } from './recordings/summariseCompression.js';
import { summariseDistortion } from './recordings/summariseDistortion.js';
import { summariseMultitone } from './recordings/summariseMultitone.js';
import type { MeasurementSet } from './series.js';

/** The steps of an analysis, in their order. */
export type AnalysisStep = 'recordings' | 'curves' | 'quality' | 'findings' | 'equaliser';

/**
 * Everything a measurement set can tell: curves, figures, findings and what is wrong with the data.
 *
 * Pure and synchronous; the same set and settings always give the same result. Data that can't give a
 * figure leaves its key out; nothing is thrown for bad data, `quality` says what is wrong.
 *
 * @param set as read from files; impulses and recordings are turned into responses here
 * @param settings what differs from `defaultSettings`
 * @param onStep told before each step begins
 */
export function analyse(
  set: MeasurementSet,
  settings: Partial<AnalysisSettings> = {},
  onStep: (step: AnalysisStep) => void = () => undefined,
): AnalysisResult {
  const chosen: AnalysisSettings = { ...defaultSettings, ...settings };
  onStep('recordings');
  const resolved = resolveRecordings(set);
  onStep('curves');
  const directivity = prepareDirectivity(resolved.set);
  const parts = {
    ...(directivity && analyseResponses(directivity, chosen)),
    ...soundParts(resolved.set),
  };
  // Data without a mid-range is a subwoofer's own: it has nothing to hand over.
  const subwoofer = parts.sensitivity && subwooferCrossover(parts.bass, parts.distortion ?? []);
  onStep('quality');
  const quality = checkQuality(resolved.set, directivity, [...set.quality, ...resolved.quality]);
  onStep('findings');
  const findings = findFindings(parts);
  onStep('equaliser');
  const { frequencyHz, curves } = parts;
  const equaliser =
    frequencyHz &&
    curves &&
    (proposeEqualiser({ frequencyHz, curves, findings, settings: chosen }) ??
      nothingToCorrect(frequencyHz, curves, chosen.equaliserSampleRateHz));
  return {
    schema: 'sojourn.analysis/1',
    algorithmVersion: ALGORITHM_VERSION,
    settings: chosen,
    inputs: set.inputs,
    ...parts,
    ...present({
      subwooferCrossover: subwoofer,
      // Looked at and nothing found is an answer; nothing to look at is none.
      findings: Object.keys(parts).length > 0 ? findings : undefined,
      equaliser,
    }),
    quality,
  };
}

type SoundParts = Pick<
  AnalysisResult,
  'impedance' | 'distortion' | 'multitone' | 'compression' | 'loudestClean'
>;

/** What does not come from the orbits. */
function soundParts(set: MeasurementSet): SoundParts {
  const series = set.impedance.at(0);
  const distortion = summariseDistortion(set.distortion);
  const multitone = summariseMultitone(set.multitone);
  const compression = summariseCompression(set.compression);
  const clean = loudestClean(distortion, compression);
  return present({
    impedance: series && analyseImpedance(series, set.conditions.ratedOhm),
    distortion: distortion.length > 0 ? distortion : undefined,
    multitone: multitone.length > 0 ? multitone : undefined,
    compression,
    loudestClean: clean.length > 0 ? clean : undefined,
  });
}
