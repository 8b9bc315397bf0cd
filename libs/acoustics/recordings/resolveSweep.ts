import type { MicrophoneCalibration, StimulusRecording } from '../series.js';
import { impulseCurve } from './impulseCurve.js';
import { impulseGridHz } from './impulseGridHz.js';
import { impulseWindow } from './impulseWindow.js';
import type { LocatedImpulse } from './locatedImpulse.js';
import { microphoneDeviation } from './microphoneDeviation.js';
import type { Notice } from './notice.js';
import { readSweep, type SweepFault, type SweepReading, type SweepTransforms } from './readSweep.js';
import type { Resolved } from './resolved.js';
import type { Sweep } from './sweep.js';
import { sweepDistortion } from './sweepDistortion.js';
import { sweepImpulse } from './sweepImpulse.js';
import { sweepNotices } from './sweepNotices.js';

type Deviation = (hz: number) => number;

/** Where the level of a recording is read when it is not stated. */
const LEVEL_BAND_HZ = [300, 3000] as const;

/**
 * A recorded exponential sweep to what its role asks for: an impulse response at an angle, harmonic distortion, a
 * response at one of several levels, or a response in a room.
 */
export function resolveSweep(
  recording: StimulusRecording,
  sweep: Sweep,
  calibrations: readonly MicrophoneCalibration[],
  transforms: SweepTransforms,
): Resolved {
  const { file } = recording.source;
  const { role } = recording;
  if (role === 'multitone' || role === 'impedance')
    return { notices: [{ code: 'stimulus-does-not-fit', file, detail: `what is filed under ${role}` }] };
  const reading = readSweep(recording, sweep, transforms);
  if (typeof reading === 'string') return { notices: [faultNotice(reading, recording, sweep)] };
  const impulse = sweepImpulse(reading);
  if (!impulse) return { notices: [{ code: 'recording-silent', file }] };
  const microphone = microphoneDeviation(recording.source, calibrations);
  const deviation = microphone === 'unassigned' ? () => 0 : microphone;
  const notices = sweepNotices(recording, reading, microphone === 'unassigned' && role !== 'directivity');
  const part = { ...impulse, fullScaleDb: recording.fullScaleDb, source: recording.source };
  const read = { directivity, distortion, compression, 'in-room': inRoom }[role];
  const resolved = read(recording, { ...part, orbit: 'horizontal', angleDeg: 0 }, reading, deviation);
  return { ...resolved, notices: [...notices, ...resolved.notices] };
}

type RoleReader = (
  recording: StimulusRecording,
  impulse: LocatedImpulse,
  reading: SweepReading,
  deviation: Deviation,
) => Resolved;

const directivity: RoleReader = (recording, impulse, reading, deviation) => {
  const { orbit, angleDeg, levelDb } = recording;
  if (orbit === undefined || angleDeg === undefined)
    return { notices: [{ code: 'recording-without-angle', file: recording.source.file }] };
  const alsoDistortion =
    levelDb === undefined ? undefined : distortion(recording, impulse, reading, deviation);
  return { impulse: { ...impulse, orbit, angleDeg }, notices: [], ...alsoDistortion };
};

const distortion: RoleReader = (recording, impulse, reading, deviation) => {
  const found = sweepDistortion(reading, deviation);
  const { source } = recording;
  const file = source.file;
  const levelDb = recording.levelDb ?? measuredLevelDb(impulse, deviation);
  if (levelDb === undefined) return { notices: [{ code: 'recording-without-level', file }] };
  if (!found)
    return { notices: [{ code: 'window-leaves-nothing', file, detail: 'no harmonic lies in its band' }] };
  const { frequencyHz, harmonicsPercent, thdPercent } = found;
  const top = Math.round(reading.transform.sweep.sampleRateHz * 0.42);
  const isCut = Object.values(harmonicsPercent).some((percent) => percent[percent.length - 1] === 0);
  return {
    distortion: { levelDb, frequencyHz, harmonicsPercent, thdPercent, source },
    notices: isCut ? [{ code: 'harmonics-beyond-band', file, detail: `${top} Hz` }] : [],
  };
};

const compression: RoleReader = (recording, impulse, _reading, deviation) => {
  const levelDb = recording.levelDb ?? measuredLevelDb(impulse, deviation);
  const response = wholeResponse(impulse, deviation);
  if (levelDb === undefined || !response)
    return { notices: [{ code: 'recording-without-level', file: recording.source.file }] };
  const { frequencyHz, levelDb: responseDb } = response;
  return { compression: { levelDb, frequencyHz, responseDb, source: recording.source }, notices: [] };
};

const inRoom: RoleReader = (recording, impulse, _reading, deviation) => {
  const response = wholeResponse(impulse, deviation);
  return response ? { inRoom: { ...response, source: recording.source }, notices: [] } : { notices: [] };
};

/** With the room's sound: a gate would take the bass away, and compression is a difference anyway. */
function wholeResponse(
  impulse: LocatedImpulse,
  deviation: Deviation,
): ReturnType<typeof impulseCurve> | undefined {
  const window = impulseWindow([impulse.extent], [undefined]);
  const frequencyHz = impulseGridHz(impulse, window);
  return frequencyHz.length < 2 ? undefined : impulseCurve(impulse, window, frequencyHz, deviation);
}

/** The energy mean over 300 Hz to 3 kHz of a sweep of amplitude 1. */
function measuredLevelDb(impulse: LocatedImpulse, deviation: Deviation): number | undefined {
  if (impulse.fullScaleDb === undefined) return undefined;
  const response = wholeResponse(impulse, deviation);
  const inBand = [...(response?.levelDb ?? [])].filter((_, i) => {
    const hz = response?.frequencyHz[i] ?? 0;
    return hz >= LEVEL_BAND_HZ[0] && hz <= LEVEL_BAND_HZ[1];
  });
  if (inBand.length === 0) return undefined;
  const power = inBand.reduce((sum, db) => sum + 10 ** (db / 10), 0) / inBand.length;
  return Math.round(100 * Math.log10(power)) / 10;
}

function faultNotice(
  fault: SweepFault,
  { source, samples, sampleRateHz }: StimulusRecording,
  sweep: Sweep,
): Notice {
  const { file } = source;
  const held = `${(samples.length / sampleRateHz).toFixed(1)} s recorded`;
  const stated = `${sweep.fromHz} Hz to ${sweep.toHz} Hz in ${sweep.seconds} s`;
  if (fault === 'too-short') return { code: 'recording-too-short', file, detail: `${held}, ${stated}` };
  if (fault === 'too-long') return { code: 'recording-too-long', file, detail: held };
  return { code: 'sweep-not-found', file, detail: stated };
}
