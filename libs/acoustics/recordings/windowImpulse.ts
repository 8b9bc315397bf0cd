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
  samples: ArrayLike<number>,
  extent: ImpulseExtent,
  window: ImpulseWindow,
  target: Float32Array,
): void {
  const rate = extent.sampleRateHz;
  const from = extent.arrivalIndex - Math.round(window.beforeSeconds * rate);
  const to = Math.min(samples.length, extent.arrivalIndex + Math.round(window.afterSeconds * rate));
  const start = Math.max(0, from);
  const length = Math.min(target.length, to - start);
  copy(samples, start, length, target);
  if (from >= 0) fade(target, 0, 1, Math.round(window.fadeInSeconds * rate));
  fade(target, length - 1, -1, Math.round(window.fadeOutSeconds * rate));
  target.fill(0, length);
}

function copy(samples: ArrayLike<number>, start: number, length: number, target: Float32Array): void {
  if (ArrayBuffer.isView(samples)) {
    target.set((samples as Float32Array).subarray(start, start + length));
    return;
  }
  for (let i = 0; i < length; i++) target[i] = samples[start + i];
}

function fade(target: Float32Array, at: number, step: 1 | -1, length: number): void {
  for (let i = 0; i < Math.min(length, target.length); i++)
    target[at + step * i] *= 0.5 - 0.5 * Math.cos((Math.PI * (i + 0.5)) / length);
}
