/** Frequencies at which a unit is evaluated, rising. An even grid lets phases be stepped instead of recomputed. */
export interface FrequencyGrid {
  readonly frequencyHz: Float64Array;
  /** Set when neighbours differ by this constant. */
  readonly stepHz?: number;
}

/** `perOctave` points per octave from `fromHz` up to and including `toHz`. */
export function logarithmicGrid(fromHz: number, toHz: number, perOctave: number): FrequencyGrid {
  const intervals = Math.ceil(Math.log2(toHz / fromHz) * perOctave);
  const frequencyHz = Float64Array.from(
    { length: intervals + 1 },
    (_, index) => fromHz * (toHz / fromHz) ** (index / intervals),
  );
  return { frequencyHz };
}

/** The bins 1..size/2 of a real Fourier transform of `size` points; bin 0 has no wave length and is left out. */
export function fourierGrid(sampleRateHz: number, size: number): FrequencyGrid {
  const stepHz = sampleRateHz / size;
  const frequencyHz = Float64Array.from({ length: size / 2 }, (_, index) => (index + 1) * stepHz);
  return { frequencyHz, stepHz };
}
