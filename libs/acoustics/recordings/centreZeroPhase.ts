/** Share of the energy (without the first sample) that must mirror. */
const EVEN_SHARE = 0.95;

/**
 * Moves time zero of a response to the middle of its file, when it is even about the first sample.
 *
 * The inverse transform of a curve without phase is even in circular time: half of it stands at the end of the
 * file, where a window would cut it off. A recorded response is never like that.
 *
 * @returns the same samples where they are not even about zero
 */
export function centreZeroPhase<T extends Float32Array | Float64Array>(samples: T): T {
  const length = samples.length;
  // Its first sample is its largest; for nearly every file this says enough.
  if (samples[0] === 0) return samples;
  for (let i = 1; i < Math.min(length, 64); i++)
    if (Math.abs(samples[i]) > Math.abs(samples[0])) return samples;
  const quarter = length >> 2;
  let even = 0;
  let energy = 0;
  let inner = 0;
  for (let i = 1; i < length; i++) {
    even += samples[i] * samples[length - i];
    energy += samples[i] * samples[i];
    if (i >= quarter && i < length - quarter) inner += samples[i] * samples[i];
  }
  // Even about the first sample is even about the middle too: the energy tells which was meant.
  if (!(energy > 0) || even < EVEN_SHARE * energy || inner > energy / 2) return samples;
  const centred = samples.slice() as T;
  const half = length >> 1;
  centred.set(samples.subarray(length - half), 0);
  centred.set(samples.subarray(0, length - half), half);
  return centred;
}
