import { type FourierKernel, realFourier } from '../fourier/realFourier.js';

/**
 * A recorded sweep as impulse responses: the linear one at `arrivalIndex`, harmonic n ahead of it by L ln(n).
 * Time is circular: what lies before the first sample stands at the end.
 */
export interface SweepDeconvolution {
  readonly response: Float32Array;
  /** The highest peak, which is the linear response's unless distortion exceeds the signal. */
  readonly arrivalIndex: number;
}

/**
 * Separates a recorded sweep's linear and harmonic responses in time (Farina, AES 108th Convention, 2000).
 *
 * @param samples at most `kernel.size` long; the rest is taken as silence
 * @param kernel from `sweepKernel`, for this sweep at the recording's rate
 */
export function deconvolveSweep(samples: ArrayLike<number>, kernel: FourierKernel): SweepDeconvolution {
  const response = realFourier(kernel.size).filter(
    (target) => {
      target.set(samples);
      target.fill(0, samples.length);
    },
    kernel,
    (result) => result.slice(),
  );
  return { response, arrivalIndex: largestIndex(response) };
}

function largestIndex(samples: Float32Array): number {
  let index = 0;
  let highest = 0;
  let lowest = 0;
  for (let i = 0; i < samples.length; i++) {
    if (samples[i] > highest) {
      highest = samples[i];
      if (highest >= -lowest) index = i;
    } else if (samples[i] < lowest) {
      lowest = samples[i];
      if (-lowest > highest) index = i;
    }
  }
  return index;
}
