/** A hum line is no bass: a rise above the threshold counts only when it lasts this long. */
const SHORTEST_RISE_OCTAVES = 1 / 12;

/**
 * The frequency below which a curve stays under a threshold.
 *
 * Read from the lowest frequency up, in log frequency. A rise above the threshold that lasts less than a
 * twelfth of an octave does not count.
 *
 * @param frequencyHz rising
 * @param levelDb as long as `frequencyHz`
 * @returns Hz; undefined when the curve already stands above the threshold at its lowest frequency or
 *   never rises above it
 */
export function lowestCrossingHz(
  frequencyHz: ArrayLike<number>,
  levelDb: ArrayLike<number>,
  thresholdDb: number,
): number | undefined {
  const count = frequencyHz.length;
  let at = 0;
  while (at < count) {
    while (at < count && levelDb[at] < thresholdDb) at += 1;
    let end = at;
    while (end < count && levelDb[end] >= thresholdDb) end += 1;
    const lasting = end === count || Math.log2(frequencyHz[end] / frequencyHz[at]) >= SHORTEST_RISE_OCTAVES;
    if (at < count && lasting) return at === 0 ? undefined : crossing(frequencyHz, levelDb, at, thresholdDb);
    at = end;
  }
  return undefined;
}

function crossing(
  frequencyHz: ArrayLike<number>,
  levelDb: ArrayLike<number>,
  at: number,
  thresholdDb: number,
): number {
  const share = (thresholdDb - levelDb[at - 1]) / (levelDb[at] - levelDb[at - 1]);
  return frequencyHz[at - 1] * (frequencyHz[at] / frequencyHz[at - 1]) ** share;
}
