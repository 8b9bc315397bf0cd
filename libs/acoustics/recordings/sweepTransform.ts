import { type FourierKernel, realFourier } from '../fourier/realFourier.js';
import { type SweepDeconvolution, deconvolveSweep } from './deconvolveSweep.js';
import { fadedSegment } from './fadedSegment.js';
import { harmonicStretch } from './harmonicStretch.js';
import type { ObservedSweep } from './sweep.js';
import { sweepKernel } from './sweepKernel.js';
import { sweepSamples } from './sweepSamples.js';

/** Everything needed to take recordings of one sweep apart; made once, used for many recordings. */
export interface SweepTransform {
  readonly sweep: ObservedSweep;
  readonly size: number;
  readonly kernel: FourierKernel;
  /** What a perfect device gives, its click at index 0: no click, as the sweep starts and stops abruptly. */
  readonly ideal: SweepDeconvolution;
  /** From a windowed linear response to all that the sweep's abrupt ends make of it; made when first needed. */
  readonly edges: () => FourierKernel;
}

/** Where the ideal response holds less than this (-20 dB), it lies outside the sweep's band. */
const IN_BAND_POWER = 0.01;

/**
 * Prepares the deconvolution of recordings of a sweep.
 *
 * @param size from `fastSize`, at least the recordings' length in samples and the sweep's
 */
export function sweepTransform(sweep: ObservedSweep, size: number): SweepTransform {
  const kernel = sweepKernel(sweep, size);
  const ideal = { ...deconvolveSweep(sweepSamples(sweep), kernel), arrivalIndex: 0 };
  let edges: FourierKernel | undefined;
  return { sweep, size, kernel, ideal, edges: () => (edges ??= edgesKernel(ideal, sweep, size)) };
}

function edgesKernel(ideal: SweepDeconvolution, sweep: ObservedSweep, size: number): FourierKernel {
  const transform = realFourier(size);
  const stretch = harmonicStretch(1, sweep);
  const windowed = fadedSegment(ideal.response, 0, stretch);
  const whole = transform.forward(
    (target) => target.set(ideal.response),
    (spectrum) => spectrum.slice(),
  );
  const direct = transform.forward(
    (target) => placeAround(target, windowed, stretch.before),
    (spectrum) => spectrum.slice(),
  );
  return transform.kernel((spectrum) => {
    spectrum.fill(0);
    for (let i = 2; i < size; i += 2) {
      const power = direct[i] ** 2 + direct[i + 1] ** 2;
      if (power < IN_BAND_POWER) continue;
      spectrum[i] = (whole[i] * direct[i] + whole[i + 1] * direct[i + 1]) / power;
      spectrum[i + 1] = (whole[i + 1] * direct[i] - whole[i] * direct[i + 1]) / power;
    }
  });
}

/** Puts a segment into a circular buffer with its sample `before` at index 0. */
function placeAround(target: Float32Array, segment: Float32Array, before: number): void {
  target.fill(0);
  target.set(segment.subarray(before));
  target.set(segment.subarray(0, before), target.length - before);
}
