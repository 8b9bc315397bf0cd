import type { CurveName, Curves } from '../analysis.js';
import { fitResponse } from './resonances/fitResponse.js';
import { responseData } from './resonances/responseData.js';
import type { ResponseData, ResponseModel } from './resonances/responseModel.js';

export interface DirectSound {
  readonly curve: CurveName;
  readonly data: ResponseData;
  readonly model: ResponseModel;
  /** The tolerance the model was fitted to, dB. */
  readonly sigmaDb: number;
}

const ORDER: readonly CurveName[] = [
  'onAxis',
  'listeningWindow',
  'estimatedInRoom',
  'soundPower',
  'earlyReflections',
];

/**
 * Fits the response model to the on-axis curve or, without it, to the first curve there is.
 *
 * @returns undefined when there is none, or too little of it
 */
export function fitDirectSound(frequencyHz: readonly number[], curves: Curves): DirectSound | undefined {
  const curve = ORDER.find((name) => curves[name]);
  const data = curve && responseData(frequencyHz, curves[curve] ?? []);
  return data && { curve, data, ...fitResponse(data) };
}
