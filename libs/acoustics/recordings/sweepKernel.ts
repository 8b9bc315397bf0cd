import { type FourierKernel, realFourier } from '../fourier/realFourier.js';
import type { ObservedSweep } from './sweep.js';

/** Below the sweep's start there is only rumble: the kernel fades out over this octave, as parts of f1. */
const FADE = { silentBelow: 0.25, fullFrom: 0.5 };

/**
 * The spectrum that turns a recorded exponential sweep into impulse responses: the inverse of the sweep's own
 * spectrum by stationary phase, X(f) = sqrt(L / f) / 2 exp(i psi), psi = 2 pi L (f - f1) - 2 pi f L ln(f / f1)
 * - pi / 4 (Novak, Lotton and Simon, J. Audio Eng. Soc. 63, 2015; formula derived here, not copied).
 *
 * Unlike division by the sampled sweep's spectrum it goes on smoothly above the sweep's end, so harmonics
 * of the top octaves are kept as far as the recording holds them, and no noise is blown up outside the band.
 * Harmonic n of the device under test comes out L ln(n) seconds ahead of the linear response (Farina 2000).
 *
 * @param size transform size in samples, at least the recording's length
 */
export function sweepKernel(sweep: ObservedSweep, size: number): FourierKernel {
  const { fromHz, riseSeconds, sampleRateHz } = sweep;
  const binHz = sampleRateHz / size;
  return realFourier(size).kernel((spectrum) => {
    spectrum.fill(0);
    const first = Math.max(1, Math.ceil((FADE.silentBelow * fromHz) / binHz));
    for (let k = first; k < size / 2; k++) {
      const hz = k * binHz;
      const gain = (2 * Math.sqrt(hz / riseSeconds) * fadeIn(hz / fromHz)) / sampleRateHz;
      const turns = riseSeconds * (hz - fromHz - hz * Math.log(hz / fromHz)) - 0.125;
      const phase = 2 * Math.PI * (turns - Math.floor(turns));
      spectrum[2 * k] = gain * Math.cos(phase);
      spectrum[2 * k + 1] = -gain * Math.sin(phase);
    }
  });
}

function fadeIn(relativeHz: number): number {
  if (relativeHz >= FADE.fullFrom) return 1;
  const share = (relativeHz - FADE.silentBelow) / (FADE.fullFrom - FADE.silentBelow);
  return 0.5 - 0.5 * Math.cos(Math.PI * share);
}
