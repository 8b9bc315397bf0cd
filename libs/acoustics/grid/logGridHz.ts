/** 93 points a decade is 28 an octave: 1, 2, 4, 5 and 8 times a power of ten then fall on the grid within 0.05 %. */
const POINTS_PER_DECADE = 93;
const FIRST_HZ = 20;
const LAST_HZ = 20_000;

/**
 * The logarithmic frequency grid all curves share: 20 Hz to 20 kHz, 28 points per octave (ANSI/CTA-2034-A
 * asks for at least 20), cut to what the data covers.
 *
 * A grid point up to a quarter of a step outside the data is kept, as files often start at 20.02 Hz or end
 * at 19,998 Hz; the nearest value is held there.
 *
 * @param fromHz lowest frequency of the data
 * @param toHz highest frequency of the data
 * @param finer how many times denser than 28 points per octave (an integer)
 * @returns rising frequencies in Hz; empty when the data lies outside 20 Hz .. 20 kHz
 */
export function logGridHz(fromHz: number, toHz: number, finer = 1): Float64Array {
  const perDecade = POINTS_PER_DECADE * finer;
  const tolerance = 10 ** (0.25 / POINTS_PER_DECADE);
  const last = Math.round(perDecade * Math.log10(LAST_HZ / FIRST_HZ));
  const points: number[] = [];
  for (let k = 0; k <= last; k += 1) {
    const hz = FIRST_HZ * 10 ** (k / perDecade);
    if (hz * tolerance >= fromHz && hz <= toHz * tolerance) points.push(hz);
  }
  return Float64Array.from(points);
}
