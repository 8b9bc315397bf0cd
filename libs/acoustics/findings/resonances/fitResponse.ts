import { bellBank, type BellBank } from './bellBank.js';
import { bellShapes, type BellShapes } from './bellShapes.js';
import { growModel, type GrowthOptions } from './growModel.js';
import { pruneBells } from './pruneBells.js';
import { rearrangeBells } from './rearrangeBells.js';
import { refineModel, type RefinedModel } from './refineModel.js';
import type { ResponseData, ResponseModel } from './responseModel.js';
import { startModel } from './startModel.js';

const OPTIONS: GrowthOptions = { maximumBells: 18, leastGain: 18, shape: 'resonance' };
const GAUSSIAN: GrowthOptions = { ...OPTIONS, shape: 'gaussian' };
/** Tolerances tried from coarse to fine when the finest would need more bells than anyone could use. */
const COARSE_TO_FINE = [8, 4, 2];
/**
 * Over what distances the unexplained remainder is supposed to hang together, octaves. Short ones see narrow
 * bells first, long ones wide; each may end in an arrangement the other avoids.
 */
const DRIFTS_OCTAVES = [2, 0.8, 0.3];
/** Two attempts that end this close in worth have found the same arrangement. */
const SAME_WORTH = 1;
/** Squared misfits over sigma, per point, of a model that explains the data down to its noise. */
const MOST_COST_PER_POINT = 1.5;

/** Another shape is not pursued when so many steps leave it so much dearer. */
const GLANCE = 8;
const MOST_GLANCE_COST = 3;
const CLEARLY_BETTER = 0.85;
/** With more bells than this, other arrangements are too many to try and none means much. */
const MOST_REARRANGED = 20;

export interface FittedResponse {
  readonly model: ResponseModel;
  /** The tolerance the model was fitted to, dB: the finest at which it stays small enough to mean something. */
  readonly sigmaDb: number;
}

/**
 * Explains a response as a line, a bend, roll-offs and as few bells as account for it.
 *
 * A clean response is explained down to its noise. One full of small irregularities (reflections, many weak
 * modes) would take dozens of bells; there the tolerance is widened until the largest few suffice.
 */
export function fitResponse(data: ResponseData, start = startModel(data)): FittedResponse {
  const shapes = bellShapes(data.hz);
  const bank = bellBank(data, shapes);
  const tried = bestOfDrifts(data, shapes, bank, start, OPTIONS);
  const gaussian = asGaussian(data, tried.fit);
  if (gaussian) {
    const again = bestOfDrifts(data, shapes, bank, start, GAUSSIAN);
    return settle(data, bank, better(gaussian, again.fit), GAUSSIAN);
  }
  const fine = tried.fit;
  if (fine.model.bells.length < OPTIONS.maximumBells) {
    const isSettled = tried.agreed || fine.model.bells.length > MOST_REARRANGED;
    return isSettled ? fitted(data, fine) : settle(data, bank, fine);
  }
  let best: { readonly fit: RefinedModel; readonly data: ResponseData } | undefined;
  for (const factor of COARSE_TO_FINE) {
    const loose: ResponseData = { ...data, sigmaDb: data.sigmaDb.map((sigma) => sigma * factor) };
    const fit = fitAtTolerance(
      loose,
      shapes,
      bellBank(loose, shapes),
      best?.fit.model ?? start,
      DRIFTS_OCTAVES[1],
    );
    if (best && fit.model.bells.length >= OPTIONS.maximumBells) break;
    best = { fit, data: loose };
  }
  if (!best) return fitted(data, fine);
  return fitted(best.data, pruneBells(best.data, best.fit, OPTIONS.leastGain));
}

/** Tries one drift after another until the data are explained or two agree. */
function bestOfDrifts(
  data: ResponseData,
  shapes: BellShapes,
  bank: BellBank,
  start: ResponseModel,
  options: GrowthOptions,
): { readonly fit: RefinedModel; readonly agreed: boolean } {
  const [first, ...others] = DRIFTS_OCTAVES;
  let best = fitAtTolerance(data, shapes, bank, start, first, options);
  // A response that takes this many is one for a wider tolerance; other arrangements would not change that.
  if (best.model.bells.length >= options.maximumBells) return { fit: best, agreed: false };
  // Explained down to its noise: trying single moves finds what is left at less cost than fitting anew.
  if (isExplained(data, best)) return { fit: best, agreed: false };
  for (const drift of others) {
    const fit = fitAtTolerance(data, shapes, bank, start, drift, options);
    const agreed = Math.abs(worth(fit) - worth(best)) < SAME_WORTH;
    best = better(best, fit);
    if (agreed) return { fit: best, agreed };
  }
  return { fit: best, agreed: false };
}

/**
 * First against a remainder that may wander slowly, so that what is not yet found elsewhere cannot bend the
 * fit; then against none.
 */
function fitAtTolerance(
  data: ResponseData,
  shapes: BellShapes,
  bank: BellBank,
  start: ResponseModel,
  driftOctaves: number,
  options = OPTIONS,
): RefinedModel {
  const octaveStep = Math.log2(data.hz[data.hz.length - 1] / data.hz[0]) / (data.hz.length - 1);
  const wandering: ResponseData = { ...data, drift: Math.exp(-octaveStep / driftOctaves) };
  const first = growModel(wandering, bellBank(wandering, shapes), start, options);
  return growModel(data, bank, refineModel(data, first.model, 15).model, options);
}

/**
 * The fit with bells in log frequency, if they explain the data down to its noise and with fewer than resonances
 * do: only a processor's or a synthetic response looks like that.
 */
function asGaussian(data: ResponseData, fit: RefinedModel): RefinedModel | undefined {
  const bells = fit.model.bells.map((bell) => ({ ...bell, shape: 'gaussian' as const }));
  const glance = refineModel(data, { ...fit.model, bells }, GLANCE);
  if (glance.cost > MOST_GLANCE_COST * worth(fit)) return undefined;
  const pruned = pruneBells(data, refineModel(data, glance.model, 30), OPTIONS.leastGain);
  return isExplained(data, pruned) && worth(pruned) < CLEARLY_BETTER * worth(fit) ? pruned : undefined;
}

function settle(data: ResponseData, bank: BellBank, fit: RefinedModel, options = OPTIONS): FittedResponse {
  return fitted(data, rearrangeBells(data, bank, fit, options));
}

function fitted(data: ResponseData, { model }: RefinedModel): FittedResponse {
  return { model, sigmaDb: data.sigmaDb.reduce((least, sigma) => Math.min(least, sigma)) };
}

function isExplained(data: ResponseData, { cost }: RefinedModel): boolean {
  return cost < MOST_COST_PER_POINT * data.hz.length;
}

function better(a: RefinedModel, b: RefinedModel): RefinedModel {
  return worth(b) < worth(a) ? b : a;
}

function worth(fit: RefinedModel): number {
  return fit.cost + OPTIONS.leastGain * fit.model.bells.length;
}
