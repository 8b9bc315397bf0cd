import { logGridHz } from '../grid/logGridHz.js';
import type { ImpulseWindow } from './impulseWindow.js';
import type { LocatedImpulse } from './locatedImpulse.js';

/** Above this share of the sample rate converters' filters fall. */
const USABLE_SHARE_OF_RATE = 0.46;
/** Twice as fine as the grid of the published curves, and holding all its points. */
const FINER = 2;

/**
 * The frequencies at which an impulse response can be read through a window: from the window's low limit to 20 kHz
 * or what the file and its stimulus hold.
 *
 * @returns rising; fewer than two points mean that nothing can be read
 */
export function impulseGridHz(
  { bandHz, extent }: Pick<LocatedImpulse, 'bandHz' | 'extent'>,
  window: ImpulseWindow,
): Float64Array {
  const topHz = Math.min(bandHz[1], USABLE_SHARE_OF_RATE * extent.sampleRateHz);
  return logGridHz(Math.max(window.lowLimitHz, bandHz[0]), topHz, FINER);
}
