import type { StimulusRecording } from '../series.js';
import type { Notice } from './notice.js';
import type { SweepReading } from './readSweep.js';

/** What reading a sweep noticed about the recording itself. */
export function sweepNotices(
  { source, samples, sampleRateHz }: StimulusRecording,
  { bandHz, isComplete, clockRatio }: SweepReading,
  microphoneUnassigned: boolean,
): Notice[] {
  const { file } = source;
  const notices: Notice[] = [];
  if (!isComplete) {
    const held = `${Math.round(bandHz[0])} Hz to ${Math.round(bandHz[1])} Hz in ${(samples.length / sampleRateHz).toFixed(1)} s`;
    notices.push({ code: 'sweep-cut', file, detail: held });
  }
  if (clockRatio !== 1)
    notices.push({ code: 'clock-drift', file, detail: `${Math.round((clockRatio - 1) * 1e6)} ppm` });
  if (microphoneUnassigned) notices.push({ code: 'microphone-unassigned', file });
  return notices;
}
