import { halfCosine } from './halfCosine.js';
import type { ImpulseWindow } from './impulseWindow.js';
import type { ImpulseExtent } from './scanImpulse.js';

/**
 * Writes the windowed response to the start of `target` and zeros behind it.
 *
 * Where the file starts later than the window, nothing is faded in: the response begins as recorded.
 *
 * @param target at least as long as the window; longer is zero padding
 */
export function windowImpulse(
  samples: Float32Array | Float64Array,
  extent: ImpulseExtent,
  window: ImpulseWindow,
  target: Float32Array,
): void {
  const rate = extent.sampleRateHz;
  const from = extent.arrivalIndex - Math.round(window.beforeSeconds * rate);
  const to = Math.min(samples.length, extent.arrivalIndex + Math.round(window.afterSeconds * rate));
  const start = Math.max(0, from);
  const length = Math.min(target.length, to - start);
  target.set(samples.subarray(start, start + length));
  if (from >= 0) fadeIn(target, Math.round(window.fadeInSeconds * rate));
  fadeOut(target, length, Math.round(window.fadeOutSeconds * rate));
  target.fill(0, length);
}

function fadeIn(target: Float32Array, length: number): void {
  const rise = halfCosine(length);
  for (let i = 0; i < Math.min(length, target.length); i++) target[i] *= rise[i];
}

function fadeOut(target: Float32Array, end: number, length: number): void {
  const rise = halfCosine(length);
  const first = Math.max(0, end - length);
  for (let i = first, k = end - 1 - first; i < end; i++, k--) target[i] *= rise[k];
}
