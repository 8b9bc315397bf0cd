import { fastSize } from '../fourier/fastSize.js';
import { realFourier } from '../fourier/realFourier.js';
import { cellEdgesHz } from './cellEdgesHz.js';
import { cellPower } from './cellPower.js';
import type { ImpulseWindow } from './impulseWindow.js';
import type { ImpulseExtent } from './scanImpulse.js';
import { windowImpulse } from './windowImpulse.js';

/** A transform at least this long puts several bins into a 1/56-octave cell down to 100 Hz. */
const LEAST_SECONDS = 1;
const SILENCE = 1e-30;

/**
 * The level of an impulse response on a logarithmic grid.
 *
 * Each point is the energy mean over its cell of the grid, so what is finer than the grid (noise, late
 * room sound) is averaged and not sampled at random.
 *
 * @param gridHz at least two points, evenly spaced in log frequency, below 0.48 of the sample rate
 * @returns dB re a gain of 1 (a sample of 1.0 alone gives 0 dB everywhere); floor -300 dB
 */
export function responseLevels(
  samples: ArrayLike<number>,
  extent: ImpulseExtent,
  window: ImpulseWindow,
  gridHz: Float64Array,
): Float64Array {
  const rate = extent.sampleRateHz;
  const windowed = Math.round((window.beforeSeconds + window.afterSeconds) * rate) + 1;
  const size = fastSize(
    2 ** Math.ceil(Math.log2(Math.max(LEAST_SECONDS * rate, Math.min(windowed, samples.length)))),
    'atLeast',
  );
  const binEdges = cellEdgesHz(gridHz).map((hz) => (hz * size) / rate);
  const power = realFourier(size).forward(
    (target) => windowImpulse(samples, extent, window, target),
    (spectrum) => cellPower(spectrum, binEdges),
  );
  return power.map((mean) => 10 * Math.log10(Math.max(mean, SILENCE)));
}
