/**
 * The mean of |X|^2 over cells of a frequency axis, |X|^2 taken as linear between bins: the energy a
 * fractional-octave cell holds where it spans many bins, plain interpolation where it is narrower than one.
 *
 * @param spectrum as `realFourier` gives it: [X(0), X(size/2), Re X(1), Im X(1), ...]
 * @param binEdges rising cell edges in bins, within 1 .. size/2 - 1; cell i lies between edges i and i + 1
 * @returns one mean per cell, length binEdges.length - 1
 */
export function cellPower(spectrum: Float32Array, binEdges: Float64Array): Float64Array {
  const means = new Float64Array(binEdges.length - 1);
  let bin = Math.floor(binEdges[0]);
  let low = powerAt(spectrum, bin);
  let high = powerAt(spectrum, bin + 1);
  let fraction = binEdges[0] - bin;
  for (let cell = 0; cell < means.length; cell++) {
    const end = binEdges[cell + 1];
    const endBin = Math.floor(end);
    let area = -partial(low, high, fraction);
    if (endBin > bin) {
      // Whole bins by the trapezium rule: half the first, all between, half the last.
      let sum = 0.5 * (low + high);
      for (let k = bin + 1; k < endBin; k++) {
        const next = powerAt(spectrum, k + 1);
        sum += 0.5 * (high + next);
        high = next;
      }
      area += sum;
      bin = endBin;
      low = high;
      high = powerAt(spectrum, bin + 1);
    }
    fraction = end - bin;
    means[cell] = (area + partial(low, high, fraction)) / (end - binEdges[cell]);
  }
  return means;
}

/** The area under the line from `low` to `high` over the first `fraction` of a bin. */
function partial(low: number, high: number, fraction: number): number {
  return fraction * (low + 0.5 * fraction * (high - low));
}

function powerAt(spectrum: Float32Array, bin: number): number {
  const re = spectrum[2 * bin];
  const im = spectrum[2 * bin + 1];
  return re * re + im * im;
}
