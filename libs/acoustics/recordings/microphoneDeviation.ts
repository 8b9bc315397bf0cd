import { valueAtHz } from '../grid/valueAtHz.js';
import type { MicrophoneCalibration, SeriesSource } from '../series.js';

/**
 * The deviation from flat of the microphone that made a recording.
 *
 * @returns dB at a frequency, the end values held beyond the curve's ends; 0 everywhere when there is no curve
 *   at all; `unassigned` when there are several and the recording does not say which, or names one not given
 */
export function microphoneDeviation(
  source: SeriesSource,
  calibrations: readonly MicrophoneCalibration[],
): ((hz: number) => number) | 'unassigned' {
  if (calibrations.length === 0 && source.microphone === undefined) return () => 0;
  const named = calibrations.filter(({ name }) => name === source.microphone);
  const candidates = source.microphone === undefined ? calibrations : named;
  const [calibration] = candidates;
  if (candidates.length !== 1 || calibration === undefined || calibration.frequencyHz.length === 0)
    return 'unassigned';
  return (hz) => valueAtHz(calibration.frequencyHz, calibration.deviationDb, hz);
}
