import { bellBank } from './bellBank.js';
import { growModel, type GrowthOptions } from './growModel.js';
import { rearrangeBells } from './rearrangeBells.js';
import { refineModel, type RefinedModel } from './refineModel.js';
import type { ResponseData, ResponseModel } from './responseModel.js';
import { startModel } from './startModel.js';

const OPTIONS: GrowthOptions = { maximumBells: 18, leastGain: 18 };
/** Tolerances tried from coarse to fine when the finest would need more bells than anyone could use. */
const COARSE_TO_FINE = [8, 4, 2];
/** Over what distance the unexplained remainder is expected to hang together, octaves. */
const DRIFT_OCTAVES = 0.8;

export interface FittedResponse {
  readonly model: ResponseModel;
  /** The tolerance the model was fitted to, dB: the finest at which it stays small enough to mean something. */
  readonly sigmaDb: number;
}

/**
 * Explains a response as a line, a bass roll-off and as few bells as account for it.
 *
 * A clean response is explained down to its noise. One full of small irregularities (reflections, many weak
 * modes) would take dozens of bells; there the tolerance is widened until the largest few suffice.
 */
export function fitResponse(data: ResponseData): FittedResponse {
  const fine = fitAtTolerance(data, startModel(data));
  if (fine.model.bells.length < OPTIONS.maximumBells)
    return { ...settle(data, fine), sigmaDb: leastOf(data) };
  let best: { readonly fit: RefinedModel; readonly data: ResponseData } | undefined;
  for (const factor of COARSE_TO_FINE) {
    const loose: ResponseData = { ...data, sigmaDb: data.sigmaDb.map((sigma) => sigma * factor) };
    const fit = fitAtTolerance(loose, best?.fit.model ?? startModel(data));
    if (best && fit.model.bells.length >= OPTIONS.maximumBells) break;
    best = { fit, data: loose };
  }
  if (!best) return { model: fine.model, sigmaDb: leastOf(data) };
  return { ...settle(best.data, best.fit), sigmaDb: leastOf(best.data) };
}

/**
 * First against a remainder that may wander slowly, so that what is not yet found elsewhere cannot bend the
 * fit; then against none.
 */
function fitAtTolerance(data: ResponseData, start: ResponseModel): RefinedModel {
  const octaveStep = Math.log2(data.hz[data.hz.length - 1] / data.hz[0]) / (data.hz.length - 1);
  const wandering: ResponseData = { ...data, drift: Math.exp(-octaveStep / DRIFT_OCTAVES) };
  const first = growModel(wandering, bellBank(wandering), start, OPTIONS);
  return growModel(data, bellBank(data), refineModel(data, first.model, 15).model, OPTIONS);
}

function settle(data: ResponseData, fit: RefinedModel): RefinedModel {
  return rearrangeBells(data, bellBank(data), fit, OPTIONS);
}

function leastOf(data: ResponseData): number {
  return data.sigmaDb.reduce((least, sigma) => Math.min(least, sigma));
}
