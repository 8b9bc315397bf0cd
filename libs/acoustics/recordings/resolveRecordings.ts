import type { AngleResponse, MeasurementSet, QualityFinding } from '../series.js';
import { impulseAngles } from './impulseAngles.js';
import { locateImpulse } from './locateImpulse.js';
import type { Notice } from './notice.js';
import { noticeFindings } from './noticeFindings.js';
import type { Resolved } from './resolved.js';
import { resolveMultitone } from './resolveMultitone.js';
import { resolveSweep } from './resolveSweep.js';
import type { SweepTransforms } from './readSweep.js';

/**
 * Turns impulse responses and recorded stimuli into the series the rest of an analysis works on.
 *
 * Angles come from impulse responses and from sweeps taken for directivity, all through one window; distortion,
 * compression and in-room responses from sweeps taken for them; multitone distortion from multitones. What was
 * read from tables stays, and comes first. A recording that cannot be read gives a finding, never an exception.
 *
 * @returns the set with its series filled in (`impulses` and `recordings` unchanged), and the new findings, which are
 *   not in `set.quality`
 */
export function resolveRecordings(set: MeasurementSet): { set: MeasurementSet; quality: QualityFinding[] } {
  const located = set.impulses.map((impulse) => locateImpulse(impulse));
  const silent = set.impulses.filter((_, i) => !located[i]);
  const transforms: SweepTransforms = new Map();
  const resolved = set.recordings.map((recording) =>
    recording.stimulus.type === 'multitone'
      ? resolveMultitone(recording, recording.stimulus.frequenciesHz, set.calibrations)
      : resolveSweep(recording, recording.stimulus, set.calibrations, transforms),
  );
  const impulses = [...located, ...resolved.map(({ impulse }) => impulse)].filter((one) => one !== undefined);
  const { angles, notices, quality } = impulseAngles(impulses, set.calibrations, set.conditions.gateMs);
  const allNotices: Notice[] = [
    ...silent.map(({ source }): Notice => ({ code: 'recording-silent', file: source.file })),
    ...resolved.flatMap((one) => one.notices),
    ...notices,
  ];
  return {
    set: withSeries(set, angles, resolved),
    quality: [...quality, ...noticeFindings(allNotices)],
  };
}

function withSeries(
  set: MeasurementSet,
  angles: readonly AngleResponse[],
  resolved: readonly Resolved[],
): MeasurementSet {
  return {
    ...set,
    angles: [...set.angles, ...angles],
    distortion: [...set.distortion, ...resolved.flatMap((one) => one.distortion ?? [])],
    multitone: [...set.multitone, ...resolved.flatMap((one) => one.multitone ?? [])],
    compression: [...set.compression, ...resolved.flatMap((one) => one.compression ?? [])],
    inRoom: [...set.inRoom, ...resolved.flatMap((one) => one.inRoom ?? [])],
  };
}
