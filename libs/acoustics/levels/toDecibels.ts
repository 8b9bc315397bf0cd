/** dB SPL of squared pressures re 20 uPa squared (all > 0). */
export function toDecibels(pressureSquared: Float64Array): Float64Array {
  const result = new Float64Array(pressureSquared.length);
  for (let i = 0; i < pressureSquared.length; i += 1) result[i] = 10 * Math.log10(pressureSquared[i]);
  return result;
}
