import type { MicrophoneCalibration, StimulusRecording } from '../series.js';
import { microphoneDeviation } from './microphoneDeviation.js';
import { multitoneDistortion } from './multitoneDistortion.js';
import { multitoneSpectrum } from './multitoneSpectrum.js';
import type { Notice } from './notice.js';
import type { Resolved } from './resolved.js';
import { steadyPart } from './steadyPart.js';

const SHORTEST_SECONDS = 0.5;
const ROLES: ReadonlySet<string> = new Set(['multitone', 'distortion']);
/** Clocks agreeing better than this are not worth a word. */
const WORTH_SAYING = 20e-6;

/**
 * A multitone recording to distortion plus noise.
 *
 * Its level is the stated one, or the tones' own where the full scale is known: an amplitude of 1 stands for
 * `fullScaleDb`.
 */
export function resolveMultitone(
  recording: StimulusRecording,
  frequenciesHz: readonly number[],
  calibrations: readonly MicrophoneCalibration[],
): Resolved {
  const { source, sampleRateHz, samples } = recording;
  const { file } = source;
  const stop = (code: Notice['code'], detail?: string): Resolved => ({ notices: [{ code, file, detail }] });
  if (!ROLES.has(recording.role))
    return stop('stimulus-does-not-fit', `what is filed under ${recording.role}`);
  const { start, end } = steadyPart(samples, sampleRateHz);
  if (end === start) return stop('recording-silent');
  if (end - start < SHORTEST_SECONDS * sampleRateHz)
    return stop('recording-too-short', `${SHORTEST_SECONDS} s of steady tones`);
  const deviation = microphoneDeviation(source, calibrations);
  const found = multitoneDistortion(
    multitoneSpectrum(samples.subarray(start, end), sampleRateHz),
    frequenciesHz,
    deviation === 'unassigned' ? () => 0 : deviation,
  );
  if (!found) return stop('tones-missing', 'none of them');
  const notices: Notice[] = [];
  if (deviation === 'unassigned') notices.push({ code: 'microphone-unassigned', file });
  if (found.missingHz.length > 0)
    notices.push({ code: 'tones-missing', file, detail: found.missingHz.map((hz) => `${hz} Hz`).join(', ') });
  const drift = 1 / found.clockRatio - 1;
  if (Math.abs(drift) > WORTH_SAYING)
    notices.push({ code: 'clock-drift', file, detail: `${Math.round(drift * 1e6)} ppm` });
  const levelDb = recording.levelDb ?? tonesLevelDb(found.tonePower, recording.fullScaleDb);
  if (levelDb === undefined) return { notices: [...notices, { code: 'recording-without-level', file }] };
  const { frequencyHz, distortionPercent, totalPercent } = found;
  return { multitone: { levelDb, frequencyHz, distortionPercent, totalPercent, source }, notices };
}

function tonesLevelDb(tonePower: number, fullScaleDb: number | undefined): number | undefined {
  return fullScaleDb === undefined ? undefined : fullScaleDb + 10 * Math.log10(2 * tonePower);
}
