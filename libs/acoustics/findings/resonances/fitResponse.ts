import { bellBank } from './bellBank.js';
import { growModel, type GrowthOptions } from './growModel.js';
import { pruneBells } from './pruneBells.js';
import { rearrangeBells } from './rearrangeBells.js';
import { refineModel, type RefinedModel } from './refineModel.js';
import type { ResponseData, ResponseModel } from './responseModel.js';
import { startModel } from './startModel.js';

const OPTIONS: GrowthOptions = { maximumBells: 18, leastGain: 18 };
/** Tolerances tried from coarse to fine when the finest would need more bells than anyone could use. */
const COARSE_TO_FINE = [8, 4, 2];
/** Over what distance the unexplained remainder is expected to hang together, octaves. */
const DRIFT_OCTAVES = 0.8;

/** Squared misfits over sigma, per point, of a model that explains the data down to its noise. */
const MOST_COST_PER_POINT = 1.5;

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
export function fitResponse(data: ResponseData, start = startModel(data)): FittedResponse {
  const fine = chooseShape(data, fitAtTolerance(data, start));
  if (fine.model.bells.length < OPTIONS.maximumBells) return settle(data, fine);
  let best: { readonly fit: RefinedModel; readonly data: ResponseData } | undefined;
  for (const factor of COARSE_TO_FINE) {
    const loose: ResponseData = { ...data, sigmaDb: data.sigmaDb.map((sigma) => sigma * factor) };
    const fit = fitAtTolerance(loose, best?.fit.model ?? start);
    if (best && fit.model.bells.length >= OPTIONS.maximumBells) break;
    best = { fit, data: loose };
  }
  return best ? settle(best.data, best.fit) : settle(data, fine);
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

/**
 * Resonances, unless bells in log frequency explain the data as well as its noise allows and with fewer: only
 * a processor's or a synthetic response looks like that.
 */
function chooseShape(data: ResponseData, fit: RefinedModel): RefinedModel {
  const gaussian = fit.model.bells.map((bell) => ({ ...bell, shape: 'gaussian' as const }));
  const pruned = pruneBells(
    data,
    refineModel(data, { ...fit.model, bells: gaussian }, 30),
    OPTIONS.leastGain,
  );
  const explained = pruned.cost < MOST_COST_PER_POINT * data.hz.length;
  return explained && worth(pruned) < worth(fit) ? pruned : fit;
}

function settle(data: ResponseData, fit: RefinedModel): FittedResponse {
  const { model } = rearrangeBells(data, bellBank(data), fit, OPTIONS);
  return { model, sigmaDb: leastOf(data) };
}

function worth(fit: RefinedModel): number {
  return fit.cost + OPTIONS.leastGain * fit.model.bells.length;
}

function leastOf(data: ResponseData): number {
  return data.sigmaDb.reduce((least, sigma) => Math.min(least, sigma));
}
