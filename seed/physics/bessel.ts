/**
 * Bessel functions of the first kind, orders zero and one, for any real x; absolute error under 1e-9.
 *
 * Below 14 the power series (Abramowitz & Stegun 9.1.10), above it Hankel's asymptotic expansion (9.2.5), whose
 * terms there fall below 1e-10 before they start to grow.
 */
export function besselJ1(x: number): number {
  const size = Math.abs(x);
  const value = size < SERIES_LIMIT ? powerSeries(1, size) : asymptotic(1, size);
  return x < 0 ? -value : value;
}

export function besselJ0(x: number): number {
  const size = Math.abs(x);
  return size < SERIES_LIMIT ? powerSeries(0, size) : asymptotic(0, size);
}

const SERIES_LIMIT = 14;

function powerSeries(order: 0 | 1, x: number): number {
  const quarterSquare = (x * x) / 4;
  let term = order === 0 ? 1 : x / 2;
  let sum = term;
  for (let n = 1; n < 60; n++) {
    term *= -quarterSquare / (n * (n + order));
    sum += term;
    if (n > quarterSquare && Math.abs(term) < 1e-12) break;
  }
  return sum;
}

function asymptotic(order: 0 | 1, x: number): number {
  const mu = 4 * order * order;
  let term = 1;
  let even = 1;
  let odd = 0;
  for (let n = 1; n <= 12; n++) {
    term *= (mu - (2 * n - 1) ** 2) / (n * 8 * x);
    // Signs go + - - + + - - ... through the two sums.
    const signed = n % 4 < 2 ? term : -term;
    if (n % 2 === 1) odd += signed;
    else even += signed;
  }
  const angle = x - ((2 * order + 1) * Math.PI) / 4;
  return Math.sqrt(2 / (Math.PI * x)) * (even * Math.cos(angle) - odd * Math.sin(angle));
}
