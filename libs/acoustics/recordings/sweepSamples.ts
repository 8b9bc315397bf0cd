import type { ObservedSweep } from './sweep.js';

/**
 * The sweep itself, amplitude 1: the reference a recording is compared with. Silent once it has passed half the
 * sample rate, as a converter's filter leaves it.
 *
 * @returns round(seconds x sampleRateHz) samples
 */
export function sweepSamples(sweep: ObservedSweep): Float64Array {
  const { fromHz, riseSeconds, sampleRateHz } = sweep;
  const samples = new Float64Array(Math.round(sweep.seconds * sampleRateHz));
  const passed = riseSeconds * sampleRateHz * Math.log(sampleRateHz / 2 / fromHz);
  const end = Math.min(samples.length, Math.max(0, Math.floor(passed)));
  for (let n = 0; n < end; n++) {
    const cycles = fromHz * riseSeconds * Math.expm1(n / sampleRateHz / riseSeconds);
    samples[n] = Math.sin(2 * Math.PI * (cycles - Math.floor(cycles)));
  }
  return samples;
}
