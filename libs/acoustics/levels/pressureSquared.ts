/** Far below any microphone; keeps the level of silence finite. */
const SILENCE = 1e-30;
const NEPER = Math.LN10 / 10;

/** Squared pressure re 20 uPa squared, from dB SPL; never below 1e-30 (-300 dB). */
export function pressureSquared(levelDb: Float64Array): Float64Array {
  const result = new Float64Array(levelDb.length);
  for (let i = 0; i < levelDb.length; i += 1) result[i] = Math.max(SILENCE, Math.exp(NEPER * levelDb[i]));
  return result;
}
