import type { ObservedSweep } from './sweep.js';

/**
 * The sweep itself, amplitude 1: the reference a recording is compared with.
 *
 * @returns round(seconds x sampleRateHz) samples
 */
export function sweepSamples(sweep: ObservedSweep): Float64Array {
  const { fromHz, riseSeconds, sampleRateHz } = sweep;
  const samples = new Float64Array(Math.round(sweep.seconds * sampleRateHz));
  for (let n = 0; n < samples.length; n++) {
    const cycles = fromHz * riseSeconds * Math.expm1(n / sampleRateHz / riseSeconds);
    samples[n] = Math.sin(2 * Math.PI * (cycles - Math.floor(cycles)));
  }
  return samples;
}
