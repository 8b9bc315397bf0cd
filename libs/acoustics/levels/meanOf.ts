import { weightedSum } from './weightedSum.js';

/** Point by point mean of arrays of one length; at least one array. */
export function meanOf(arrays: readonly Float64Array[]): Float64Array {
  return weightedSum(
    arrays,
    arrays.map(() => 1 / arrays.length),
  );
}
