import { logGridHz } from '../grid/logGridHz.js';
import type { ResponseSeries } from '../series.js';
import type { ImpulseWindow } from './impulseWindow.js';
import type { LocatedImpulse } from './locatedImpulse.js';
import { windowedResponse } from './windowedResponse.js';

/** Above this share of the sample rate converters' filters fall. */
const USABLE_SHARE_OF_RATE = 0.46;
/** Twice as fine as the grid of the published curves, and holding all its points. */
const FINER = 2;

/**
 * The frequency response of one impulse response through a window.
 *
 * @param deviationDb the microphone's
 * @returns dB SPL where the full scale is known, dB re a gain of 1 otherwise, and phase counted from the direct
 *   sound, from the window's low limit to 20 kHz or what the file holds; undefined when that is less than two points
 */
export function impulseCurve(
  impulse: LocatedImpulse,
  window: ImpulseWindow,
  deviationDb: (hz: number) => number,
): Required<Omit<ResponseSeries, 'source'>> | undefined {
  const { samples, extent, ideal, bandHz, fullScaleDb = 0 } = impulse;
  const topHz = Math.min(bandHz[1], USABLE_SHARE_OF_RATE * extent.sampleRateHz);
  const frequencyHz = logGridHz(Math.max(window.lowLimitHz, bandHz[0]), topHz, FINER);
  if (frequencyHz.length < 2) return undefined;
  const { levelDb, phaseDeg } = windowedResponse(samples, extent, window, frequencyHz);
  const perfect = ideal && windowedResponse(ideal.samples, ideal.extent, window, frequencyHz).levelDb;
  for (let i = 0; i < levelDb.length; i++)
    levelDb[i] += fullScaleDb - deviationDb(frequencyHz[i]) - (perfect?.[i] ?? 0);
  return { frequencyHz, levelDb, phaseDeg };
}
