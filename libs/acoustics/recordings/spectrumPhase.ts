const DEGREES = 180 / Math.PI;

/**
 * The phase of a spectrum at given frequencies, with time counted from a later sample than the first.
 *
 * @param spectrum as `realFourier` gives it, `size` floats
 * @param gridHz below half the sample rate
 * @param binsPerHz size / sample rate
 * @param zeroSample the sample at which time is 0; once it is, the phase is smooth enough to be read between bins
 * @returns degrees, -180..180
 */
export function spectrumPhase(
  spectrum: Float32Array,
  gridHz: Float64Array,
  binsPerHz: number,
  zeroSample: number,
): Float64Array {
  const perBin = (2 * Math.PI * zeroSample) / spectrum.length;
  const [cosBin, sinBin] = [Math.cos(perBin), Math.sin(perBin)];
  const phase = new Float64Array(gridHz.length);
  for (let i = 0; i < gridHz.length; i++) {
    const position = gridHz[i] * binsPerHz;
    const bin = Math.floor(position);
    const share = position - bin;
    const re = spectrum[2 * bin];
    const im = spectrum[2 * bin + 1];
    const nextRe = spectrum[2 * bin + 2] * cosBin - spectrum[2 * bin + 3] * sinBin;
    const nextIm = spectrum[2 * bin + 2] * sinBin + spectrum[2 * bin + 3] * cosBin;
    const between = Math.atan2(im + share * (nextIm - im), re + share * (nextRe - re)) + bin * perBin;
    const turns = between / (2 * Math.PI);
    phase[i] = 2 * Math.PI * (turns - Math.round(turns)) * DEGREES;
  }
  return phase;
}
