import type { ObservedSweep, Sweep } from './sweep.js';

/**
 * The stated sweep in the recorder's time.
 *
 * @param sampleRateHz the recording's nominal rate; it may differ from the player's
 * @param clockRatio seconds counted by the recorder for each second counted by the player, near 1
 */
export function observedSweep(sweep: Sweep, sampleRateHz: number, clockRatio = 1): ObservedSweep {
  const seconds = sweep.seconds * clockRatio;
  return {
    fromHz: sweep.fromHz / clockRatio,
    toHz: sweep.toHz / clockRatio,
    seconds,
    riseSeconds: seconds / Math.log(sweep.toHz / sweep.fromHz),
    sampleRateHz,
  };
}
