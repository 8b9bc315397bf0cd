import { fastSize } from '../fourier/fastSize.js';
import { realFourier } from '../fourier/realFourier.js';

/** Mean square per bin of a steady recording; what one tone holds is spread over a few bins around it. */
export interface PowerSpectrum {
  /** Bins 0 .. size / 2 - 1. */
  readonly power: Float64Array;
  readonly binHz: number;
  /** A tone leaks less than -92 dB beyond this many bins. */
  readonly leakBins: number;
}

/** The four-term Blackman-Harris window: side lobes 92 dB down (Harris, Proc. IEEE 66, 1978). */
const WINDOW = [0.35875, 0.48829, 0.14128, 0.01168];
const LEAK_BINS = 5;
const LONGEST_SAMPLES = 2 ** 20;

/**
 * The power spectrum of samples under a window that keeps loud tones from covering what lies between them.
 *
 * Scaled so that the sum over bins is the mean square: a sine of amplitude 1 holds 0.5 whatever its frequency.
 *
 * @param samples at least 64; of a long recording only as much as one transform takes is used
 */
export function multitoneSpectrum(samples: ArrayLike<number>, sampleRateHz: number): PowerSpectrum {
  const size = fastSize(Math.min(samples.length, LONGEST_SAMPLES), 'atMost');
  const windowPower = size * (WINDOW[0] ** 2 + 0.5 * (WINDOW[1] ** 2 + WINDOW[2] ** 2 + WINDOW[3] ** 2));
  return realFourier(size).forward(
    (target) => {
      for (let n = 0; n < size; n++) target[n] = samples[n] * blackmanHarris(n, size);
    },
    (spectrum) => {
      const power = new Float64Array(size / 2);
      const scale = 2 / (size * windowPower);
      power[0] = (spectrum[0] ** 2 * scale) / 2;
      for (let k = 1; k < power.length; k++)
        power[k] = (spectrum[2 * k] ** 2 + spectrum[2 * k + 1] ** 2) * scale;
      return { power, binHz: sampleRateHz / size, leakBins: LEAK_BINS };
    },
  );
}

function blackmanHarris(index: number, size: number): number {
  const turn = (2 * Math.PI * index) / size;
  return (
    WINDOW[0] - WINDOW[1] * Math.cos(turn) + WINDOW[2] * Math.cos(2 * turn) - WINDOW[3] * Math.cos(3 * turn)
  );
}
