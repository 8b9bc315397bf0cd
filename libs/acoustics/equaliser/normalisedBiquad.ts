import type { BiquadFilter } from '../analysis.js';

type Three = readonly [number, number, number];

/** Coefficients as the cookbook has them, divided by a0, so that a[0] is 1. */
export function normalisedBiquad(b: Three, a: Three): Pick<BiquadFilter, 'b' | 'a'> {
  const [a0, a1, a2] = a;
  return { b: [b[0] / a0, b[1] / a0, b[2] / a0], a: [1, a1 / a0, a2 / a0] };
}
