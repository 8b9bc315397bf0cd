import type { BellBank } from './bellBank.js';
import { bellMoves, type BellMove } from './bellMoves.js';
import { addOneBell } from './addOneBell.js';
import type { GrowthOptions } from './growModel.js';
import { refineModel, type RefinedModel } from './refineModel.js';
import { refineNear, type NearRefinement } from './refineNear.js';
import type { ResponseData, ResponseModel } from './responseModel.js';

const MOST_MOVES = 8;
const TRIED_IN_FULL = 4;
const SETTLED = 0.5;

/**
 * Leaves a wrong arrangement that plain descent cannot: previews every move of `bellMoves`, carries out the
 * most promising one that lowers cost plus `leastGain` per bell, and begins again until none does.
 */
export function rearrangeBells(
  data: ResponseData,
  bank: BellBank,
  start: RefinedModel,
  options: GrowthOptions,
): RefinedModel {
  const worth = (fit: RefinedModel): number => fit.cost + options.leastGain * fit.model.bells.length;
  let best = start;
  for (let move = 0; move < MOST_MOVES; move++) {
    const promising = bellMoves(best.model)
      .filter(({ model, toAdd }) => model.bells.length + toAdd <= options.maximumBells)
      .map((change) => preview(data, bank, best.model, change, options))
      .sort((a, b) => b.gain - a.gain)
      .slice(0, TRIED_IN_FULL);
    let better: RefinedModel | undefined;
    for (const { model } of promising) {
      const fit = refineModel(data, model, 15);
      if (worth(fit) > worth(best) - SETTLED) continue;
      better = fit;
      break;
    }
    if (!better) return best;
    best = better;
  }
  return best;
}

function preview(
  data: ResponseData,
  bank: BellBank,
  before: ResponseModel,
  { model, aroundHz, toAdd }: BellMove,
  options: GrowthOptions,
): NearRefinement {
  let changed = refineNear(data, model, before, aroundHz);
  for (let k = 0; k < toAdd; k++) {
    const more = addOneBell(
      data,
      bank,
      changed.model,
      options.shape,
      Math.min(...aroundHz) / 2,
      Math.max(...aroundHz) * 2,
    );
    changed = refineNear(data, more.model, before, aroundHz);
  }
  return {
    ...changed,
    gain: changed.gain - options.leastGain * (changed.model.bells.length - before.bells.length),
  };
}
