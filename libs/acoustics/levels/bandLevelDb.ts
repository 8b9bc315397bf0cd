/**
 * Energy mean of a curve over a band.
 *
 * @param frequencyHz rising grid, evenly spaced in log frequency (so that points weigh alike)
 * @param pressureSquared as long as `frequencyHz`
 * @returns dB; undefined when fewer than half a band's worth of the grid lies inside, or none at all
 */
export function bandLevelDb(
  frequencyHz: Float64Array,
  pressureSquared: Float64Array,
  band: readonly [number, number],
): number | undefined {
  const step = frequencyHz.length > 1 ? Math.log(frequencyHz[1] / frequencyHz[0]) : 0;
  let sum = 0;
  let count = 0;
  for (let i = 0; i < frequencyHz.length; i += 1) {
    if (frequencyHz[i] < band[0] || frequencyHz[i] > band[1]) continue;
    sum += pressureSquared[i];
    count += 1;
  }
  if (count === 0 || count * step < 0.8 * Math.log(band[1] / band[0])) return undefined;
  return 10 * Math.log10(sum / count);
}
