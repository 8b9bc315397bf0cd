import { segmentEnergies } from '../fourier/segmentEnergies.js';

/**
 * The mean of |X|^2 over cells of a frequency axis, |X|^2 taken as linear between bins: the energy a
 * fractional-octave cell holds where it spans many bins, plain interpolation where it is narrower than one.
 *
 * @param spectrum as `realFourier` gives it: [X(0), X(size/2), Re X(1), Im X(1), ...]
 * @param binEdges rising cell edges in bins, within 1 .. size/2 - 2; cell i lies between edges i and i + 1
 * @returns one mean per cell, length binEdges.length - 1
 */
export function cellPower(spectrum: Float32Array, binEdges: Float64Array): Float64Array {
  const bounds = new Int32Array(binEdges.length);
  for (let i = 0; i < bounds.length; i++) bounds[i] = 2 * Math.floor(binEdges[i]);
  const means = segmentEnergies(spectrum, bounds);
  let power = powerAt(spectrum, bounds[0]);
  let begun = areaFrom(power, powerAt(spectrum, bounds[0] + 2), binEdges[0] - bounds[0] / 2);
  for (let cell = 0; cell < means.length; cell++) {
    const bound = bounds[cell + 1];
    const endPower = powerAt(spectrum, bound);
    const ended = areaFrom(endPower, powerAt(spectrum, bound + 2), binEdges[cell + 1] - bound / 2);
    // Whole bins by the trapezium rule: half the first, all between, half the last.
    const whole = means[cell] + 0.5 * (endPower - power);
    means[cell] = (whole + ended - begun) / (binEdges[cell + 1] - binEdges[cell]);
    power = endPower;
    begun = ended;
  }
  return means;
}

/** The area over the first `share` of the way from a bin to the next. */
function areaFrom(low: number, high: number, share: number): number {
  return share * (low + 0.5 * share * (high - low));
}

/** |X|^2 of the bin whose real part stands at `index`. */
function powerAt(spectrum: Float32Array, index: number): number {
  return spectrum[index] * spectrum[index] + spectrum[index + 1] * spectrum[index + 1];
}
