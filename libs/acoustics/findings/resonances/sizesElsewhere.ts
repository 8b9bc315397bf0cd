import { solveSymmetric } from '../../fitting/solveSymmetric.js';
import { addBell } from './addBell.js';
import { bendBasis } from './bendBasis.js';
import type { Bell, ResponseData } from './responseModel.js';
import { subtractDrift } from './subtractDrift.js';

const KNOT_OCTAVES = 1.5;
const DRIFT_OCTAVES = 0.8;
/** A bell's size elsewhere is expected within some dB of its size here: keeps near twins from see-sawing. */
const EXPECTED_DIFFERENCE_DB = 3;
const SIGMA_DB = 0.1;

/**
 * How large each of `bells`, found on one curve, stands in another, dB, in the order of `bells`.
 *
 * Works on the difference of the two curves, where what both share cancels exactly, whatever it is: the
 * difference is explained as a slow bend, a slowly wandering remainder and each bell's shape times an unknown
 * size, by linear least squares. `differenceDb` is the found-on curve less the other at each of `data.hz`.
 */
export function sizesElsewhere(
  data: ResponseData,
  bells: readonly Bell[],
  differenceDb: Float64Array,
): readonly number[] {
  if (bells.length === 0) return [];
  const points = data.hz.length;
  const octaves = Math.log2(data.hz[points - 1] / data.hz[0]);
  const drift = Math.exp(-octaves / (points - 1) / DRIFT_OCTAVES);
  const knots = Math.max(1, Math.round(octaves / KNOT_OCTAVES)) + 3;
  const basis = bendBasis(data.hz, knots, [data.hz[0], data.hz[points - 1]]);
  const columns = [
    ...bells.map((bell) => shapeOf(data.hz, bell)),
    ...Array.from({ length: knots }, (_, k) => basis.slice(k * points, (k + 1) * points)),
  ];
  const right = Float64Array.from(differenceDb);
  for (const values of [...columns, right]) subtractDrift(values, drift);
  const fitted = ridge(columns, right, (k) => (k < bells.length ? EXPECTED_DIFFERENCE_DB : 100));
  return bells.map((bell, k) => bell.levelDb - fitted[k]);
}

/** The bell's own curve scaled to 1 dB. */
function shapeOf(hz: Float64Array, bell: Bell): Float64Array {
  const shape = new Float64Array(hz.length);
  addBell(hz, { ...bell, lnCentre: Math.log(bell.centreHz), lnQ: Math.log(bell.q) }, shape);
  return shape.map((level) => level / bell.levelDb);
}

function ridge(
  columns: readonly Float64Array[],
  right: Float64Array,
  expectedDb: (index: number) => number,
): Float64Array {
  const n = columns.length;
  const normal = new Float64Array(n * n);
  for (let j = 0; j < n; j++) {
    for (let k = 0; k <= j; k++) {
      normal[j * n + k] = dot(columns[j], columns[k]);
      normal[k * n + j] = normal[j * n + k];
    }
    normal[j * n + j] += (SIGMA_DB / expectedDb(j)) ** 2;
  }
  return solveSymmetric(
    normal,
    columns.map((column) => dot(column, right)),
  );
}

function dot(a: Float64Array, b: Float64Array): number {
  let sum = 0;
  for (let i = 0; i < a.length; i++) sum += a[i] * b[i];
  return sum;
}
