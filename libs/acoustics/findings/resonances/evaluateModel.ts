import { addBell } from './addBell.js';
import { addRollOff } from './addRollOff.js';
import { bendBasis } from './bendBasis.js';
import type { ResponseModel } from './responseModel.js';

/** The model's level, dB, at each of `hz`. */
export function evaluateModel(model: ResponseModel, hz: Float64Array): Float64Array {
  const out = hz.map((f) => model.levelDb + model.tiltDbPerOctave * Math.log2(f / 1000));
  const { coefficientsDb, rangeHz } = model.bend;
  const basis = bendBasis(hz, coefficientsDb.length, rangeHz);
  coefficientsDb.forEach((coefficient, k) => {
    for (let i = 0; i < hz.length; i++) out[i] += coefficient * basis[k * hz.length + i];
  });
  for (const { side, cornerHz, q } of model.rollOffs) {
    addRollOff(hz, { side, lnCorner: Math.log(cornerHz), lnQ: Math.log(q) }, out);
  }
  for (const { centreHz, levelDb, q, shape } of model.bells) {
    addBell(hz, { lnCentre: Math.log(centreHz), levelDb, lnQ: Math.log(q), shape }, out);
  }
  return out;
}
