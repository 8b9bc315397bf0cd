import type { ResponseData, ResponseModel } from './responseModel.js';

/** A mean and deviation a parameter is expected near: weak, to break ties between models that fit alike. */
export interface Expectation {
  readonly mean: number;
  readonly deviation: number;
}

/** Common practice, no source. */
const EXPECTED = {
  highPassLnQ: { mean: Math.log(0.75), deviation: 0.35 },
  lowPassLnCorner: { mean: Math.log(60_000), deviation: 0.7 },
  lowPassLnQ: { mean: Math.log(0.7), deviation: 0.5 },
  bellLevelDb: { mean: 0, deviation: 2.5 },
  bellLnQ: { mean: Math.log(2.5), deviation: 1.2 },
} as const;

/** Only data that reaches beyond is expected to roll off above hearing. */
const TREBLE_HZ = 10_000;

/** A model's parameters as the solver sees them; frequencies and Qs as natural logarithms. */
export interface ModelParameters {
  readonly start: readonly number[];
  readonly lower: readonly number[];
  readonly upper: readonly number[];
  readonly expectations: readonly { readonly index: number; readonly expectation: Expectation }[];
}

/**
 * Lays out `model` in this order: level, tilt, the bend's coefficients, ln corner and ln Q of each roll-off,
 * ln centre, level and ln Q of each bell. Bells keep to Q 0.4..30, +-20 dB and the data's range. A held line
 * has both bounds at its value.
 */
export function modelParameters(
  data: ResponseData,
  model: ResponseModel,
  line: 'free' | 'held',
): ModelParameters {
  const start: number[] = [];
  const lower: number[] = [];
  const upper: number[] = [];
  const expectations: { index: number; expectation: Expectation }[] = [];
  const first = Math.log(data.hz[0]);
  const last = Math.log(data.hz[data.hz.length - 1]);
  const put = (value: number, least: number, most: number, expectation?: Expectation): void => {
    if (expectation) expectations.push({ index: start.length, expectation });
    start.push(value);
    lower.push(least);
    upper.push(most);
  };
  const held = line === 'held';
  put(model.levelDb, held ? model.levelDb : -300, held ? model.levelDb : 300);
  put(model.tiltDbPerOctave, held ? model.tiltDbPerOctave : -12, held ? model.tiltDbPerOctave : 12);
  for (const coefficient of model.bend.coefficientsDb) {
    put(coefficient, -20, 20, { mean: 0, deviation: model.bend.expectedDb });
  }
  for (const { side, cornerHz, q } of model.rollOffs) {
    if (side === 'high-pass') {
      put(Math.log(cornerHz), first - 0.7, first + 2.5);
      put(Math.log(q), Math.log(0.35), Math.log(2.5), EXPECTED.highPassLnQ);
    } else {
      const inTreble = data.hz[data.hz.length - 1] > TREBLE_HZ;
      const top = inTreble ? EXPECTED.lowPassLnCorner : undefined;
      put(Math.log(cornerHz), inTreble ? last - 1 : last - 2.5, last + 2, top);
      put(Math.log(q), Math.log(0.4), Math.log(inTreble ? 1.4 : 2.5), EXPECTED.lowPassLnQ);
    }
  }
  for (const { centreHz, levelDb, q } of model.bells) {
    put(Math.log(centreHz), first, last);
    put(levelDb, -20, 20, EXPECTED.bellLevelDb);
    put(Math.log(q), Math.log(0.4), Math.log(30), EXPECTED.bellLnQ);
  }
  return { start, lower, upper, expectations };
}
