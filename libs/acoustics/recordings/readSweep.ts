import { fastSize } from '../fourier/fastSize.js';
import type { StimulusRecording } from '../series.js';
import { deconvolveSweep, type SweepDeconvolution } from './deconvolveSweep.js';
import { estimateClockRatio } from './estimateClockRatio.js';
import { observedSweep } from './observedSweep.js';
import type { ObservedSweep, Sweep } from './sweep.js';
import { type SweepTransform, sweepTransform } from './sweepTransform.js';

/** A recorded sweep, taken apart. */
export interface SweepReading {
  readonly deconvolved: SweepDeconvolution;
  readonly transform: SweepTransform;
  /** Recorder seconds per player second; 1 where the difference is too small to be told from the loudspeaker's delay. */
  readonly clockRatio: number;
  /** The part of the sweep the recording holds. */
  readonly bandHz: readonly [number, number];
  readonly isComplete: boolean;
}

export type SweepFault = 'too-short' | 'too-long' | 'not-found';

/** Transforms already prepared in this run, by `key`; a session's recordings usually share one. */
export type SweepTransforms = Map<string, SweepTransform>;

const TRANSFORMS_KEPT = 2;
/** 2^22 samples: 87 s at 48 kHz; reading one takes some 130 MB. */
const LONGEST_SAMPLES = 2 ** 22;
const LEAST_SHARE = 0.5;
/** The linear click must stand so far above the root mean square of everything (26 dB): noise alone reaches 5. */
const LEAST_CREST = 20;
/**
 * A drift of e draws the click out by e L for each factor e of frequency. A loudspeaker's own delay changes by some
 * 0.1 ms in the octaves that decide; less than this is its own, and is too little to change any level.
 */
const LEAST_DRAWN_OUT_SECONDS = 120e-6;
/** Lower sweeps hold nothing of the octaves in which a loudspeaker's own delay is even. */
const DRIFT_NEEDS_HZ = 8000;

/**
 * Takes a recorded exponential sweep apart: where it starts, how the clocks ran, and its responses.
 *
 * @param sweep as stated; the recording may have any sample rate, offset and silence around it
 * @param transforms shared between calls of one run
 */
export function readSweep(
  recording: Pick<StimulusRecording, 'samples' | 'sampleRateHz'>,
  sweep: Sweep,
  transforms: SweepTransforms,
): SweepReading | SweepFault {
  const { samples, sampleRateHz } = recording;
  if (samples.length > LONGEST_SAMPLES) return 'too-long';
  if (samples.length < LEAST_SHARE * sweep.seconds * sampleRateHz) return 'too-short';
  const size = fastSize(Math.max(samples.length, Math.ceil(1.01 * sweep.seconds * sampleRateHz)), 'atLeast');
  const prepare = (clockRatio: number): SweepTransform => {
    const key = [sweep.fromHz, sweep.toHz, sweep.seconds, sampleRateHz, size, clockRatio].join();
    const made = transforms.get(key) ?? sweepTransform(observedSweep(sweep, sampleRateHz, clockRatio), size);
    transforms.delete(key);
    transforms.set(key, made);
    for (const oldest of transforms.keys()) if (transforms.size > TRANSFORMS_KEPT) transforms.delete(oldest);
    return made;
  };
  const stated = prepare(1);
  const first = deconvolveSweep(samples, stated.kernel);
  const clockRatio = believed(estimateClockRatio(first, stated.sweep), stated.sweep);
  const transform = prepare(clockRatio);
  const deconvolved = clockRatio === 1 ? first : deconvolveSweep(samples, transform.kernel);
  if (crest(deconvolved) < LEAST_CREST) return 'not-found';
  return {
    deconvolved,
    transform,
    clockRatio,
    ...coverage(deconvolved.arrivalIndex, samples.length, transform),
  };
}

function believed(clockRatio: number, { riseSeconds, toHz }: ObservedSweep): number {
  const drawnOut = Math.abs(clockRatio - 1) * riseSeconds;
  return drawnOut > LEAST_DRAWN_OUT_SECONDS && toHz >= DRIFT_NEEDS_HZ ? clockRatio : 1;
}

function crest({ response, arrivalIndex }: SweepDeconvolution): number {
  const energy = response.reduce((sum, value) => sum + value * value, 0);
  return Math.abs(response[arrivalIndex]) / Math.sqrt(energy / response.length);
}

/** A late start loses the bass, an early end the treble; a circular arrival is read as whichever holds more. */
function coverage(
  arrivalIndex: number,
  recorded: number,
  { sweep, size }: SweepTransform,
): Pick<SweepReading, 'bandHz' | 'isComplete'> {
  const length = sweep.seconds * sweep.sampleRateHz;
  const held = (start: number): number => Math.min(recorded, start + length) - Math.max(0, start);
  const start = held(arrivalIndex) >= held(arrivalIndex - size) ? arrivalIndex : arrivalIndex - size;
  const hzAt = (sample: number): number =>
    sweep.fromHz * Math.exp((sample - start) / sweep.sampleRateHz / sweep.riseSeconds);
  const slack = 0.002 * length;
  const startsLate = start < -slack;
  const endsEarly = start + length > recorded + slack;
  return {
    bandHz: [startsLate ? hzAt(0) : sweep.fromHz, endsEarly ? hzAt(recorded) : sweep.toHz],
    isComplete: !startsLate && !endsEarly,
  };
}
