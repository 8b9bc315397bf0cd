import type { BiquadFilter } from '../analysis.js';

const DB_PER_NEPER = 10 / Math.LN10;

/**
 * Adds a biquad's magnitude in dB to `sum`.
 *
 * With p = sin^2(w/2), |b0 + b1 z^-1 + b2 z^-2|^2 = (b0 + b1 + b2)^2 - 4 (b0 b1 + 4 b0 b2 + b1 b2) p + 16 b0 b2 p^2
 * [derived], which keeps its precision at low frequencies.
 *
 * @param halfAngles sin^2(w/2) of each frequency, as long as `sum`
 */
export function addBiquadDb({ b, a }: BiquadFilter, halfAngles: Float64Array, sum: Float64Array): void {
  const [b0, b1, b2] = polynomial(b);
  const [a0, a1, a2] = polynomial(a);
  for (let i = 0; i < sum.length; i++) {
    const p = halfAngles[i];
    sum[i] += DB_PER_NEPER * Math.log((b0 + p * (b1 + p * b2)) / (a0 + p * (a1 + p * a2)));
  }
}

function polynomial([c0, c1, c2]: readonly [number, number, number]): readonly [number, number, number] {
  return [(c0 + c1 + c2) ** 2, -4 * (c0 * c1 + 4 * c0 * c2 + c1 * c2), 16 * c0 * c2];
}
