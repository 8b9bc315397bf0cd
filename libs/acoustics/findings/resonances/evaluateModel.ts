import { addBell } from './addBell.js';
import { addHighPass } from './addHighPass.js';
import { addStep } from './addStep.js';
import type { ResponseModel } from './responseModel.js';

/** The model's level, dB, at each of `hz`. */
export function evaluateModel(model: ResponseModel, hz: Float64Array): Float64Array {
  const out = hz.map((f) => model.levelDb + model.tiltDbPerOctave * Math.log2(f / 1000));
  for (const { cornerHz, q } of model.highPass) {
    addHighPass(hz, { lnCorner: Math.log(cornerHz), lnQ: Math.log(q) }, out);
  }
  for (const { centreHz, levelDb, sharpness } of model.steps) {
    addStep(hz, { lnCentre: Math.log(centreHz), levelDb, lnSharpness: Math.log(sharpness) }, out);
  }
  for (const { centreHz, levelDb, q, shape } of model.bells) {
    addBell(hz, { lnCentre: Math.log(centreHz), levelDb, lnQ: Math.log(q), shape }, out);
  }
  return out;
}
