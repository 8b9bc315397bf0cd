/**
 * Lower and upper edge of a fractional-octave band (IEC 61260-1:2014, clause 5.5, base ten).
 *
 * @example bandEdgesHz(1000, 3) // [891.25..., 1122.01...]
 */
export function bandEdgesHz(centreHz: number, bandsPerOctave: number): [number, number] {
  const half = 10 ** (0.3 / (2 * bandsPerOctave));
  return [centreHz / half, centreHz * half];
}
