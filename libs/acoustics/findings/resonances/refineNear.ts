import { evaluateModel } from './evaluateModel.js';
import { refineModel } from './refineModel.js';
import type { Bell, ResponseData, ResponseModel } from './responseModel.js';
import { subtractDrift } from './subtractDrift.js';

export interface NearRefinement {
  readonly model: ResponseModel;
  /** By how much the cost fell within the window that was looked at, against `reference`. */
  readonly gain: number;
}

/**
 * Refits only the bells of `model` that stand near `aroundHz`, everything else held, on the stretch of data
 * they reach: a cheap preview of what a change would bring. `reference` is the model before the change; its
 * cost on the same stretch is what the gain is counted from.
 */
export function refineNear(
  data: ResponseData,
  model: ResponseModel,
  reference: ResponseModel,
  aroundHz: readonly number[],
): NearRefinement {
  const lowest = Math.min(...aroundHz);
  const highest = Math.max(...aroundHz);
  const isNear = (bell: Bell): boolean => {
    const reach = 2 ** Math.min(1.5, 0.6 + 0.5 / bell.q);
    return bell.centreHz > lowest / reach && bell.centreHz < highest * reach;
  };
  const near = model.bells.filter(isNear);
  const far = model.bells.filter((bell) => !isNear(bell));
  const stretch = stretchOf(data, lowest / 4, highest * 4);
  const rest = evaluateModel({ ...model, bells: far }, stretch.hz);
  const local: ResponseData = { ...stretch, levelDb: stretch.levelDb.map((level, i) => level - rest[i]) };
  const blank: ResponseModel = {
    levelDb: 0,
    tiltDbPerOctave: 0,
    bend: { rangeHz: [1, 2], coefficientsDb: [], expectedDb: 1 },
    rollOffs: [],
    bells: near,
  };
  const fit = refineModel(local, blank, 10, 'held');
  return {
    model: { ...model, bells: [...far, ...fit.model.bells] },
    gain: misfit(stretch, reference) - misfit(local, fit.model),
  };
}

function stretchOf(data: ResponseData, fromHz: number, toHz: number): ResponseData {
  const first = Math.max(
    0,
    data.hz.findIndex((hz) => hz >= fromHz),
  );
  const last = data.hz.findLastIndex((hz) => hz <= toHz) + 1;
  return {
    hz: data.hz.subarray(first, last),
    levelDb: data.levelDb.subarray(first, last),
    sigmaDb: data.sigmaDb.subarray(first, last),
    drift: data.drift,
  };
}

function misfit(data: ResponseData, model: ResponseModel): number {
  const fitted = evaluateModel(model, data.hz);
  const misfits = fitted.map((level, i) => (level - data.levelDb[i]) / data.sigmaDb[i]);
  subtractDrift(misfits, data.drift);
  return misfits.reduce((sum, value) => sum + value * value, 0);
}
