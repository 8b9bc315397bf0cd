/** PFFFT needs a multiple of 32 with no prime factor above 5. */
const STEP = 32;

function isFast(size: number): boolean {
  let rest = size / STEP;
  for (const factor of [2, 3, 5]) while (rest % factor === 0) rest /= factor;
  return rest === 1;
}

/**
 * The transform size nearest to `length` samples that {@link realFourier} takes: 32 x 2^a 3^b 5^c.
 *
 * @param length samples, a positive number.
 * @param side `atLeast` rounds up (zero padding follows), `atMost` rounds down (samples are left out).
 * @returns a size >= 32; `atMost` below 32 still gives 32.
 * @example fastSize(1000, 'atLeast') // 1024
 */
export function fastSize(length: number, side: 'atLeast' | 'atMost'): number {
  const step = side === 'atLeast' ? STEP : -STEP;
  const round = side === 'atLeast' ? Math.ceil : Math.floor;
  let size = Math.max(STEP, round(length / STEP) * STEP);
  while (!isFast(size)) size += step;
  return size;
}
