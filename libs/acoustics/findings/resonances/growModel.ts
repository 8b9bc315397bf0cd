import { addOneBell } from './addOneBell.js';
import type { BellBank } from './bellBank.js';
import { refineModel, type RefinedModel } from './refineModel.js';
import type { BellShape, ResponseData, ResponseModel } from './responseModel.js';

export interface GrowthOptions {
  readonly maximumBells: number;
  /** A bell must lower the cost (squared misfits over sigma) by at least this much to be added. */
  readonly leastGain: number;
  /** The shape of bells that are added. */
  readonly shape: BellShape;
}

/**
 * Adds bells to `start` one by one, refitting everything each time, until none pays for itself or there are
 * `maximumBells`.
 */
export function growModel(
  data: ResponseData,
  bank: BellBank,
  start: ResponseModel,
  options: GrowthOptions,
): RefinedModel {
  let best = refineModel(data, start, 20);
  while (best.model.bells.length < options.maximumBells) {
    const grown = refineModel(data, addOneBell(data, bank, best.model, options.shape).model, 8);
    if (best.cost - grown.cost < options.leastGain) break;
    best = grown;
  }
  return refineModel(data, best.model, 30);
}
