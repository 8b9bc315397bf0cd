/** IEC 61260-1 / ANSI S1.11, base-ten system: one octave is the ratio G = 10^(3/10). */
const OCTAVE_RATIO = 10 ** 0.3;
const REFERENCE_HZ = 1000;

/**
 * Exact mid-band frequencies of fractional-octave bands (IEC 61260-1:2014, clause 5.4; the nominal values
 * printed on plots are ISO 266's).
 *
 * @param bandsPerOctave 1, 2, 3, 6, 12, 24 ...; for odd numbers 1 kHz is a centre, for even ones a band edge
 * @param fromHz lowest centre wanted
 * @param toHz highest centre wanted
 * @returns rising centres in Hz, all within `fromHz` .. `toHz`
 * @example bandCentresHz(1, 900, 4500) // [1000, 1995.26..., 3981.07...]
 */
export function bandCentresHz(bandsPerOctave: number, fromHz: number, toHz: number): number[] {
  const shift = bandsPerOctave % 2 === 0 ? 0.5 : 0;
  const position = (hz: number): number =>
    (bandsPerOctave * Math.log(hz / REFERENCE_HZ)) / Math.log(OCTAVE_RATIO) - shift;
  const centres: number[] = [];
  for (let k = Math.ceil(position(fromHz) - 1e-9); k <= position(toHz) + 1e-9; k += 1) {
    centres.push(REFERENCE_HZ * OCTAVE_RATIO ** ((k + shift) / bandsPerOctave));
  }
  return centres;
}
