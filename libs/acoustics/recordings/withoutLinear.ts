import { realFourier } from '../fourier/realFourier.js';
import type { SweepDeconvolution } from './deconvolveSweep.js';
import { fadedSegment } from './fadedSegment.js';
import { harmonicStretch } from './harmonicStretch.js';
import type { SweepTransform } from './sweepTransform.js';

/**
 * Takes the linear response out of a deconvolved sweep, with everything it leaves at other times.
 *
 * A sweep that starts and stops abruptly clicks; after deconvolution the click of the start lies where the
 * harmonics of the lowest octave are, some 40 dB down. It is known exactly once the linear response is, so it is
 * subtracted rather than windowed away.
 *
 * @returns the harmonics and the noise, with the same time axis
 */
export function withoutLinear(
  deconvolved: SweepDeconvolution,
  transform: SweepTransform,
): SweepDeconvolution {
  const { response, arrivalIndex } = deconvolved;
  const stretch = harmonicStretch(1, transform.sweep);
  const linear = fadedSegment(response, arrivalIndex, stretch);
  const start = arrivalIndex - stretch.before;
  const harmonics = realFourier(transform.size).filter(
    (target) => {
      target.fill(0);
      target.set(linear);
    },
    transform.edges,
    (explained) => subtractAt(response, explained, start),
  );
  return { response: harmonics, arrivalIndex };
}

/** signal(i + start) - part(i), circular. */
function subtractAt(signal: Float32Array, part: Float32Array, start: number): Float32Array {
  const size = signal.length;
  const offset = ((start % size) + size) % size;
  const difference = new Float32Array(size);
  for (let i = offset, k = 0; i < size; i++, k++) difference[i] = signal[i] - part[k];
  for (let i = 0, k = size - offset; i < offset; i++, k++) difference[i] = signal[i] - part[k];
  return difference;
}
