/**
 * Solves `matrix` x = `right` for a symmetric positive definite matrix by Cholesky's factorisation.
 *
 * `matrix` is row-major, n x n, and is overwritten with its lower factor; `right` has length n and is kept.
 * A pivot that rounding has driven to zero or below is replaced by a tiny share of the largest diagonal, so a
 * nearly singular system gives a finite, damped answer instead of failing.
 */
export function solveSymmetric(matrix: Float64Array, right: Float64Array | readonly number[]): Float64Array {
  const n = right.length;
  factorise(matrix, n);
  const x = Float64Array.from(right);
  for (let i = 0; i < n; i++) {
    let sum = x[i];
    for (let k = 0; k < i; k++) sum -= matrix[i * n + k] * x[k];
    x[i] = sum / matrix[i * n + i];
  }
  for (let i = n - 1; i >= 0; i--) {
    let sum = x[i];
    for (let k = i + 1; k < n; k++) sum -= matrix[k * n + i] * x[k];
    x[i] = sum / matrix[i * n + i];
  }
  return x;
}

function factorise(matrix: Float64Array, n: number): void {
  let largest = 0;
  for (let i = 0; i < n; i++) largest = Math.max(largest, matrix[i * n + i]);
  const floor = Math.max(largest * 1e-14, Number.MIN_VALUE);
  for (let j = 0; j < n; j++) {
    let pivot = matrix[j * n + j];
    for (let k = 0; k < j; k++) pivot -= matrix[j * n + k] ** 2;
    const root = Math.sqrt(Math.max(pivot, floor));
    matrix[j * n + j] = root;
    for (let i = j + 1; i < n; i++) {
      let sum = matrix[i * n + j];
      for (let k = 0; k < j; k++) sum -= matrix[i * n + k] * matrix[j * n + k];
      matrix[i * n + j] = sum / root;
    }
  }
}
