/** Rated values in common use, ohm (common practice, no source). */
const COMMON_OHM = [32, 25, 16, 12, 8, 6, 4, 3, 2, 1];
/** The lowest |Z| in the rated band shall not be less than this share of the rated impedance. */
const LOWEST_SHARE = 0.8;

/**
 * The highest common rated impedance a minimum allows: no |Z| in the band below 80 % of it (IEC 60268-5,
 * rated impedance).
 *
 * @param minimumOhm lowest |Z| in the band, positive
 * @returns ohm; under 0.8 ohm no common value fits and the exact limit is returned
 * @example ratedImpedanceOhm(3.2) // 4
 */
export function ratedImpedanceOhm(minimumOhm: number): number {
  const allowedOhm = minimumOhm / LOWEST_SHARE;
  // 3.2 / 0.8 must not fail 4 by a rounding error.
  return COMMON_OHM.find((ohm) => ohm <= allowedOhm * (1 + 1e-9)) ?? allowedOhm;
}
