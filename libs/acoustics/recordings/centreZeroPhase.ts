/**
 * Moves time zero of a response to the middle of its file, when it is even about the first sample.
 *
 * The inverse transform of a curve without phase is even in circular time: half of it stands at the end of the
 * file, where a window would cut it off. A recorded response is never like that.
 *
 * @returns the same samples where they are not even about zero (a share of 0.95 of the energy)
 */
export function centreZeroPhase<T extends Float32Array | Float64Array>(samples: T): T {
  const length = samples.length;
  let even = 0;
  let energy = 0;
  for (let i = 1; i < length; i++) {
    even += samples[i] * samples[length - i];
    energy += samples[i] * samples[i];
  }
  if (!(energy > 0) || even < 0.95 * energy) return samples;
  const centred = samples.slice() as T;
  const half = length >> 1;
  centred.set(samples.subarray(length - half), 0);
  centred.set(samples.subarray(0, length - half), half);
  return centred;
}
