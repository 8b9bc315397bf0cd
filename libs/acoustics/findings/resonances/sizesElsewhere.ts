import { dotProduct } from '../../fitting/dotProduct.js';
import { solveSymmetric } from '../../fitting/solveSymmetric.js';
import { addBell } from './addBell.js';
import { bendBasis } from './bendBasis.js';
import type { Bell, ResponseData } from './responseModel.js';
import { subtractDrift } from './subtractDrift.js';

const KNOT_OCTAVES = 1.5;
const DRIFT_OCTAVES = 0.8;
/** By how much of its size a shape is expected to differ elsewhere. */
const EXPECTED_DIFFERENCE = 1;
const SIGMA_DB = 0.1;

/**
 * How large each shape (a group of bells found on one curve) stands in another curve, as a share of its size on
 * the first: 1 alike, 0 absent. In the order of `groups`.
 *
 * Works on the difference of the two curves, where what both share cancels exactly, whatever it is: the
 * difference is explained as a slow bend, a slowly wandering remainder and an unknown share of each shape, by
 * linear least squares. `differenceDb` is the found-on curve less the other at each of `data.hz`.
 */
export function sizesElsewhere(
  data: ResponseData,
  groups: readonly (readonly Bell[])[],
  differenceDb: Float64Array,
): readonly number[] {
  if (groups.length === 0) return [];
  const points = data.hz.length;
  const octaves = Math.log2(data.hz[points - 1] / data.hz[0]);
  const drift = Math.exp(-octaves / (points - 1) / DRIFT_OCTAVES);
  const knots = Math.max(1, Math.round(octaves / KNOT_OCTAVES)) + 3;
  const basis = bendBasis(data.hz, knots, [data.hz[0], data.hz[points - 1]]);
  const columns = [
    ...groups.map((group) => shapeOf(data.hz, group)),
    ...Array.from({ length: knots }, (_, k) => basis.slice(k * points, (k + 1) * points)),
  ];
  const right = Float64Array.from(differenceDb);
  for (const values of [...columns, right]) subtractDrift(values, drift);
  const fitted = ridge(columns, right, (k) => (k < groups.length ? EXPECTED_DIFFERENCE : 100));
  return groups.map((_, k) => 1 - fitted[k]);
}

function shapeOf(hz: Float64Array, bells: readonly Bell[]): Float64Array {
  const shape = new Float64Array(hz.length);
  for (const bell of bells) {
    addBell(hz, { ...bell, lnCentre: Math.log(bell.centreHz), lnQ: Math.log(bell.q) }, shape);
  }
  return shape;
}

function ridge(
  columns: readonly Float64Array[],
  right: Float64Array,
  expected: (index: number) => number,
): Float64Array {
  const n = columns.length;
  const normal = new Float64Array(n * n);
  for (let j = 0; j < n; j++) {
    for (let k = 0; k <= j; k++) {
      normal[j * n + k] = dotProduct(columns[j], 0, columns[k], 0, right.length);
      normal[k * n + j] = normal[j * n + k];
    }
    normal[j * n + j] += (SIGMA_DB / expected(j)) ** 2;
  }
  return solveSymmetric(
    normal,
    columns.map((column) => dotProduct(column, 0, right, 0, right.length)),
  );
}
