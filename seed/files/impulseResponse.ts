import type { Spectrum } from '../physics/complex.js';
import { fromDecibels } from '../physics/complex.js';
import type { FrequencyGrid } from '../physics/frequencyGrid.js';
import { signalOf } from '../physics/fourier.js';
import { bellShaped, type Random } from '../physics/random.js';

/** Noise of a good microphone and converter, relative to full scale. */
const NOISE_DB = -110;

/**
 * Impulse response of a spectrum on the even grid 1..size/2 of a transform of `size` points.
 *
 * `arrivalS` is when sound of the reference point arrives. `fullScaleDb` is the SPL of a sample of 1.0: the
 * transform of the samples, in dB, plus `fullScaleDb` gives the level back. Above 21 kHz the response is faded
 * out, as a converter's filter would.
 */
export function impulseResponse(
  spectrum: Spectrum,
  grid: FrequencyGrid,
  arrivalS: number,
  fullScaleDb: number,
  random: Random,
): Float64Array {
  const size = 2 * grid.frequencyHz.length;
  const half = { re: new Float64Array(size / 2 + 1), im: new Float64Array(size / 2 + 1) };
  const topHz = grid.frequencyHz[grid.frequencyHz.length - 1];
  grid.frequencyHz.forEach((hz, index) => {
    const angle = -2 * Math.PI * hz * arrivalS;
    const fade =
      hz < FADE_FROM_HZ ? 1 : Math.cos(((hz - FADE_FROM_HZ) / (topHz - FADE_FROM_HZ)) * (Math.PI / 2)) ** 2;
    const gain = fade / fromDecibels(fullScaleDb);
    half.re[index + 1] = gain * (spectrum.re[index] * Math.cos(angle) - spectrum.im[index] * Math.sin(angle));
    half.im[index + 1] = gain * (spectrum.re[index] * Math.sin(angle) + spectrum.im[index] * Math.cos(angle));
  });
  const noise = fromDecibels(NOISE_DB);
  return signalOf(half, size).map((sample) => sample + noise * bellShaped(random));
}

const FADE_FROM_HZ = 21000;
