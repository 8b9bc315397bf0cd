/**
 * Bessel function of the first kind, order one, for any real x; absolute error under 1e-9.
 *
 * Below 14 the power series (Abramowitz & Stegun 9.1.10), above it Hankel's asymptotic expansion (9.2.5 with
 * mu = 4), whose terms there fall below 1e-10 before they start to grow.
 */
export function besselJ1(x: number): number {
  const size = Math.abs(x);
  const value = size < 14 ? powerSeries(size) : asymptotic(size);
  return x < 0 ? -value : value;
}

function powerSeries(x: number): number {
  const quarterSquare = (x * x) / 4;
  let term = x / 2;
  let sum = term;
  for (let n = 1; n < 60; n++) {
    term *= -quarterSquare / (n * (n + 1));
    sum += term;
    if (Math.abs(term) < 1e-17 * Math.max(1, Math.abs(sum))) break;
  }
  return sum;
}

function asymptotic(x: number): number {
  let term = 1;
  let even = 1;
  let odd = 0;
  for (let n = 1; n <= 12; n++) {
    term *= (4 - (2 * n - 1) ** 2) / (n * 8 * x);
    const sign = n % 4 < 2 ? 1 : -1;
    if (n % 2 === 1) odd += sign * term;
    else even += (n % 4 === 0 ? 1 : -1) * term;
  }
  const angle = x - (3 * Math.PI) / 4;
  return Math.sqrt(2 / (Math.PI * x)) * (even * Math.cos(angle) - odd * Math.sin(angle));
}
