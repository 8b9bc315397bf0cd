import type { BellBank } from './bellBank.js';
import { evaluateModel } from './evaluateModel.js';
import { refineNear, type NearRefinement } from './refineNear.js';
import type { Bell, BellShape, ResponseData, ResponseModel } from './responseModel.js';

/** `model` and the bell that explains most of what it leaves, centred in the range, its surroundings refitted. */
export function addOneBell(
  data: ResponseData,
  bank: BellBank,
  model: ResponseModel,
  shape: BellShape,
  fromHz = 0,
  toHz = Infinity,
): NearRefinement {
  const fitted = evaluateModel(model, data.hz);
  const residualDb = data.levelDb.map((level, i) => level - fitted[i]);
  const trials = distinct(bank.best(residualDb, fromHz, toHz)).map((bell) =>
    refineNear(data, { ...model, bells: [...model.bells, { ...bell, shape }] }, model, [bell.centreHz]),
  );
  return trials.reduce((best, trial) => (trial.gain > best.gain ? trial : best));
}

/** The best candidate and up to two more that differ from it in width or place. */
function distinct(candidates: readonly Bell[]): readonly Bell[] {
  const kept: Bell[] = [];
  for (const bell of candidates) {
    const differs = kept.every(
      (other) =>
        Math.abs(Math.log(bell.q / other.q)) > 0.8 ||
        Math.abs(Math.log(bell.centreHz / other.centreHz)) > 0.7 / Math.min(bell.q, other.q),
    );
    if (differs) kept.push(bell);
    if (kept.length === 3) break;
  }
  return kept;
}
