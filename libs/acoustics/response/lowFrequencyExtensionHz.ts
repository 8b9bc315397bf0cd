import { bandMean } from './bandMean.js';

const SEARCH_FROM_HZ = 300;
const DROP_DB = 6;

/**
 * Low-frequency extension (Olive 2004, AES convention paper 6190; formula from memory): going down from
 * 300 Hz, the first frequency at which the sound power lies 6 dB under the listening window's mean level
 * from 300 Hz to 10 kHz.
 *
 * @returns Hz; the lowest measured frequency when it never falls so far; undefined when the listening
 *   window does not cover its band
 */
export function lowFrequencyExtensionHz(
  frequencyHz: ArrayLike<number>,
  listeningWindow: ArrayLike<number>,
  soundPower: ArrayLike<number>,
): number | undefined {
  const meanDb = bandMean(frequencyHz, listeningWindow, [300, 10_000]);
  if (meanDb === undefined) return undefined;
  const thresholdDb = meanDb - DROP_DB;
  let at = 0;
  while (at < frequencyHz.length - 1 && frequencyHz[at + 1] <= SEARCH_FROM_HZ) at += 1;
  while (at >= 0 && soundPower[at] > thresholdDb) at -= 1;
  if (at < 0) return frequencyHz[0];
  const above = soundPower[at + 1];
  if (above === undefined || above <= thresholdDb) return frequencyHz[at];
  const share = (thresholdDb - soundPower[at]) / (above - soundPower[at]);
  return frequencyHz[at] * (frequencyHz[at + 1] / frequencyHz[at]) ** share;
}
