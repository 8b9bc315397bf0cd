import { describe, expect, it } from 'vitest';
import { randomNumbers } from '../testing/randomNumbers.js';
import { dotProduct } from './dotProduct.js';
import { solveSymmetric } from './solveSymmetric.js';

describe('solveSymmetric', () => {
  it('solves a hand-made system', () => {
    // [4 2; 2 3] x = [10; 8] has x = [1.75; 1.5].
    const x = solveSymmetric(Float64Array.of(4, 2, 2, 3), [10, 8]);
    expect([...x]).toEqual([expect.closeTo(1.75, 12), expect.closeTo(1.5, 12)]);
  });

  it('satisfies a random positive definite system', () => {
    const random = randomNumbers(5);
    const n = 12;
    const factor = Float64Array.from({ length: n * n }, () => random() - 0.5);
    const matrix = Float64Array.from({ length: n * n }, (_, at) => {
      const [i, j] = [Math.floor(at / n), at % n];
      return dotProduct(factor, i * n, factor, j * n, n) + (i === j ? 0.1 : 0);
    });
    const right = Array.from({ length: n }, () => random());
    const x = solveSymmetric(Float64Array.from(matrix), right);
    right.forEach((value, i) => expect(dotProduct(matrix, i * n, x, 0, n)).toBeCloseTo(value, 9));
  });

  it('stays finite on a singular system', () => {
    expect([...solveSymmetric(Float64Array.of(1, 1, 1, 1), [1, 1])].every(Number.isFinite)).toBe(true);
  });
});

describe('dotProduct', () => {
  it.each([0, 1, 3, 4, 7, 8, 13])('sums %i products from its offsets', (count) => {
    const a = Float64Array.from({ length: 20 }, (_, i) => i + 1);
    const b = Float64Array.from({ length: 20 }, (_, i) => 2 - i);
    let slow = 0;
    for (let i = 0; i < count; i++) slow += a[2 + i] * b[5 + i];
    expect(dotProduct(a, 2, b, 5, count)).toBeCloseTo(slow, 9);
  });
});
