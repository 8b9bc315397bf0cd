import type { ImpulseResponse } from '../series.js';
import { centreZeroPhase } from './centreZeroPhase.js';
import type { LocatedImpulse } from './locatedImpulse.js';
import { scanImpulse } from './scanImpulse.js';

const SHORTEST = 64;

/**
 * Finds the direct sound of an impulse response from a file.
 *
 * @returns undefined when it is silent, not finite or shorter than 64 samples
 */
export function locateImpulse(impulse: ImpulseResponse): LocatedImpulse | undefined {
  const { orbit, angleDeg, sampleRateHz, fullScaleDb, source } = impulse;
  if (impulse.samples.length < SHORTEST) return undefined;
  const samples = centreZeroPhase(impulse.samples);
  const extent = scanImpulse(samples, sampleRateHz);
  return extent && { orbit, angleDeg, samples, extent, fullScaleDb, source, bandHz: [0, sampleRateHz / 2] };
}
