/**
 * The frequency ranges in which a curve lies above a limit, their ends interpolated over log frequency.
 *
 * A range that begins or ends with the data begins or ends at the outermost point. A single point above the limit
 * still makes a range, from crossing to crossing.
 *
 * @param frequencyHz rising, positive
 * @param values as long as `frequencyHz`, finite
 * @param limit strictly exceeded inside a range
 */
export function zonesBeyond(
  frequencyHz: ArrayLike<number>,
  values: ArrayLike<number>,
  limit: number,
): [number, number][] {
  const zones: [number, number][] = [];
  const crossing = (i: number): number => {
    const share = (limit - values[i]) / (values[i + 1] - values[i]);
    return frequencyHz[i] * (frequencyHz[i + 1] / frequencyHz[i]) ** share;
  };
  let from: number | undefined;
  for (let i = 0; i < values.length; i++) {
    if (values[i] > limit) from ??= i === 0 ? frequencyHz[0] : crossing(i - 1);
    else if (from !== undefined) {
      zones.push([from, crossing(i - 1)]);
      from = undefined;
    }
  }
  if (from !== undefined) zones.push([from, frequencyHz[values.length - 1]]);
  return zones;
}
