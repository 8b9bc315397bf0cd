import { angleAt } from '../orbits/angleAt.js';
import { bandMean } from '../response/bandMean.js';
import { bassReferenceDb } from '../response/bassReferenceDb.js';
import type { QualityFinding } from '../series.js';
import type { QualityContext } from './qualityContext.js';

/** Sensitivities outside this are not those of loudspeakers at 2.83 V and 1 m (common practice, no source). */
const PLAUSIBLE_DB = [70, 115] as const;

/** What was not stated and therefore assumed, and levels that show the assumption to be wrong. */
export function statedConditions({ set, directivity }: QualityContext): QualityFinding[] {
  if (directivity === undefined) return [];
  const findings: QualityFinding[] = [];
  const states = (key: 'distanceM' | 'driveVolts'): boolean =>
    set.conditions[key] !== undefined ||
    directivity.angles.every(({ series }) => series.source.conditions?.[key] !== undefined);
  const missing = [
    ...(states('distanceM') ? [] : ['the microphone distance (taken as 1 m)']),
    ...(states('driveVolts') ? [] : ['the drive voltage (taken as 2.83 V)']),
  ];
  if (missing.length > 0) {
    const message = `The conditions don't state ${missing.join(' and ')}. State them to make levels and sensitivity absolute.`;
    findings.push({ severity: 'note', code: 'conditions-not-stated', message });
  }
  const axis = angleAt(directivity, 'horizontal', 0);
  const sensitivityDb = axis && bandMean(directivity.frequencyHz, axis.levelDb, [300, 3000]);
  // Recordings without a full-scale level are known to be relative; that is said where they are read.
  const relative = [...set.impulses, ...set.recordings].some(({ fullScaleDb }) => fullScaleDb === undefined);
  if (
    !relative &&
    sensitivityDb !== undefined &&
    (sensitivityDb < PLAUSIBLE_DB[0] || sensitivityDb > PLAUSIBLE_DB[1])
  ) {
    const message = `The sensitivity comes out as ${sensitivityDb.toFixed(1)} dB, outside ${PLAUSIBLE_DB.join('-')} dB: the levels seem to be relative, or distance, drive or full-scale level are not as stated. Shapes and differences hold; levels don't.`;
    findings.push({ severity: 'check', code: 'level-implausible', message });
  }
  if (
    axis &&
    sensitivityDb === undefined &&
    bassReferenceDb(directivity.frequencyHz, axis.levelDb) !== undefined
  ) {
    const message =
      'The data has no mid-range, so there is no sensitivity; bass limits are referred to the mean level from 40 to 100 Hz.';
    findings.push({ severity: 'note', code: 'bass-reference', message });
  }
  return findings;
}
