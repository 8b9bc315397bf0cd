import { fastSize } from '../fourier/fastSize.js';
import { realFourier } from '../fourier/realFourier.js';
import { cellEdgesHz } from './cellEdgesHz.js';
import { cellPower } from './cellPower.js';
import type { ImpulseWindow } from './impulseWindow.js';
import type { ImpulseExtent } from './scanImpulse.js';
import { spectrumPhase } from './spectrumPhase.js';
import { windowImpulse } from './windowImpulse.js';

export interface WindowedResponse {
  /** dB re a gain of 1: a sample of 1.0 alone gives 0 dB everywhere; floor -300 dB. */
  readonly levelDb: Float64Array;
  /** Degrees, -180..180, with time counted from the arrival of the direct sound. */
  readonly phaseDeg: Float64Array;
}

/** A transform at least this long puts several bins into a 1/56-octave cell down to 100 Hz. */
const LEAST_SECONDS = 1;
const SILENCE = 1e-30;
const DB_PER_NEPER = 10 / Math.LN10;

/**
 * Level and phase of an impulse response on a logarithmic grid.
 *
 * Each level is the energy mean over its cell of the grid, so what is finer than the grid (noise, late room
 * sound) is averaged and not sampled at random.
 *
 * @param gridHz at least two points, evenly spaced in log frequency, below 0.48 of the sample rate
 */
export function windowedResponse(
  samples: Float32Array | Float64Array,
  extent: ImpulseExtent,
  window: ImpulseWindow,
  gridHz: Float64Array,
): WindowedResponse {
  const rate = extent.sampleRateHz;
  const before = Math.min(extent.arrivalIndex, Math.round(window.beforeSeconds * rate));
  const windowed = Math.min(before + Math.round(window.afterSeconds * rate), samples.length);
  const least = 2 ** Math.ceil(Math.log2(LEAST_SECONDS * rate));
  const size = windowed <= least ? least : fastSize(windowed, 'atLeast');
  const bins = size / rate;
  const edges = cellEdgesHz(gridHz).map((hz) => hz * bins);
  return realFourier(size).forward(
    (target) => windowImpulse(samples, extent, window, target),
    (spectrum) => ({
      levelDb: cellPower(spectrum, edges).map((mean) => DB_PER_NEPER * Math.log(Math.max(mean, SILENCE))),
      phaseDeg: spectrumPhase(spectrum, gridHz, bins, before),
    }),
  );
}
