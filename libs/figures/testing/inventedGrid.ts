/** The grid invented curves stand on, and the shape of their bumps. */

/** Log grid, `perOctave` points an octave, 20 Hz to 20 kHz. */
export function inventedGrid(perOctave = 24): number[] {
  const count = Math.floor(Math.log2(1000) * perOctave) + 1;
  return Array.from({ length: count }, (_, index) => 20 * 2 ** (index / perOctave));
}

/** A resonance's bump in dB: `gainDb` at its centre, half of it where the detuning reaches 1/Q. */
export function bell(hz: number, centreHz: number, gainDb: number, q: number): number {
  const x = q * (hz / centreHz - centreHz / hz);
  return gainDb / (1 + x * x);
}
