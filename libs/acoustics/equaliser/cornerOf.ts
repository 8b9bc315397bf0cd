/** What the cookbook's formulas share. */
export interface Corner {
  /** Square root of the linear gain. */
  readonly amplitude: number;
  readonly cosine: number;
  readonly alpha: number;
}

/**
 * Intermediate values of the RBJ Audio EQ Cookbook (W3C Note, 8 June 2021).
 *
 * @param frequencyHz above 0 and below half of `sampleRateHz`
 * @param gainDb dB
 * @param q above 0
 * @throws RangeError naming what is out of range
 */
export function cornerOf(frequencyHz: number, gainDb: number, q: number, sampleRateHz: number): Corner {
  if (!(frequencyHz > 0 && frequencyHz < sampleRateHz / 2)) {
    throw new RangeError(
      `A filter's frequency must lie between 0 and half the sample rate of ${sampleRateHz} Hz, not at ${frequencyHz} Hz.`,
    );
  }
  if (!(q > 0 && Number.isFinite(q))) throw new RangeError(`A filter's Q must be above 0, not ${q}.`);
  if (!Number.isFinite(gainDb))
    throw new RangeError(`A filter's gain must be a number of dB, not ${gainDb}.`);
  const w0 = (2 * Math.PI * frequencyHz) / sampleRateHz;
  return { amplitude: 10 ** (gainDb / 40), cosine: Math.cos(w0), alpha: Math.sin(w0) / (2 * q) };
}
