import { realFourier } from '../fourier/realFourier.js';
import { circularSegment } from './circularSegment.js';
import type { SweepDeconvolution } from './deconvolveSweep.js';
import { fadedSegment } from './fadedSegment.js';
import { harmonicStretch } from './harmonicStretch.js';
import type { SweepTransform } from './sweepTransform.js';

/**
 * Takes the linear response out of a deconvolved sweep, with everything it leaves where the harmonics are.
 *
 * A sweep that starts and stops abruptly clicks; after deconvolution the click of the start lies where the
 * harmonics of the lowest octave are, some 40 dB down. It is known exactly once the linear response is, so it is
 * subtracted rather than windowed away.
 *
 * @param highest order wanted
 * @returns harmonics 2 to `highest` and the noise around them: only that part of the time axis, and the arrival
 *   counted from its start
 */
export function withoutLinear(
  { response, arrivalIndex }: SweepDeconvolution,
  transform: SweepTransform,
  highest: number,
): SweepDeconvolution {
  const { sweep, size } = transform;
  const stretch = harmonicStretch(1, sweep);
  const linear = fadedSegment(response, arrivalIndex, stretch);
  const edges = transform.edges();
  const [earliest, latest] = [harmonicStretch(highest, sweep), harmonicStretch(2, sweep)];
  const start = arrivalIndex - earliest.lead - earliest.before;
  const length = Math.min(size, earliest.lead + earliest.before - latest.lead + latest.after);
  const harmonics = realFourier(size).filter(
    (target) => {
      target.set(linear);
      target.fill(0, linear.length);
    },
    edges,
    (explained) => {
      const part = circularSegment(response, start, length);
      // The linear response was put at the start of its own time axis.
      let k = (((start - arrivalIndex + stretch.before) % size) + size) % size;
      for (let i = 0; i < length; i++) {
        part[i] -= explained[k];
        k = k + 1 === size ? 0 : k + 1;
      }
      return part;
    },
  );
  return { response: harmonics, arrivalIndex: arrivalIndex - start };
}
