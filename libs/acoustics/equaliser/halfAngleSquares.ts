/**
 * sin^2(w/2) of each frequency at a sample rate, w = 2 pi f / rate: what a biquad's magnitude is a function of.
 * Beyond half the sample rate the value there is held.
 */
export function halfAngleSquares(frequencyHz: ArrayLike<number>, sampleRateHz: number): Float64Array {
  return Float64Array.from({ length: frequencyHz.length }, (_, i) => {
    return Math.sin(Math.min(Math.PI / 2, (Math.PI * frequencyHz[i]) / sampleRateHz)) ** 2;
  });
}
