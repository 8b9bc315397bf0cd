import type { ResponseSeries } from '../series.js';
import type { ImpulseWindow } from './impulseWindow.js';
import type { LocatedImpulse } from './locatedImpulse.js';
import { windowedResponse } from './windowedResponse.js';

/**
 * The frequency response of one impulse response through a window.
 *
 * @param frequencyHz from `impulseGridHz`, at least two points
 * @param deviationDb the microphone's
 * @returns dB SPL where the full scale is known, dB re a gain of 1 otherwise, and phase counted from the direct sound
 */
export function impulseCurve(
  impulse: LocatedImpulse,
  window: ImpulseWindow,
  frequencyHz: Float64Array,
  deviationDb: (hz: number) => number,
): Required<Omit<ResponseSeries, 'source'>> {
  const { samples, extent, ideal, fullScaleDb = 0 } = impulse;
  const { levelDb, phaseDeg } = windowedResponse(samples, extent, window, frequencyHz);
  const perfect = ideal && windowedResponse(ideal.samples, ideal.extent, window, frequencyHz).levelDb;
  for (let i = 0; i < levelDb.length; i++)
    levelDb[i] += fullScaleDb - deviationDb(frequencyHz[i]) - (perfect?.[i] ?? 0);
  return { frequencyHz, levelDb, phaseDeg };
}
