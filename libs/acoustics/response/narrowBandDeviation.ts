import { valueAtHz } from '../grid/valueAtHz.js';

const FROM_HZ = 100;
/** Whole half octaves from 100 Hz: the fourteenth spans 12 kHz, the upper end the method names. */
const BANDS = 14;
const LEAST_BANDS = 12;
const POINTS_PER_BAND = 10;

/**
 * Narrow band deviation (Olive 2004, AES convention paper 6190; formula from memory): the mean, over
 * half-octave bands from 100 Hz to 12 kHz, of the mean absolute deviation from the band's mean level,
 * read at ten points evenly spaced in log frequency inside each band.
 *
 * @param frequencyHz rising
 * @param levelDb as long as `frequencyHz`
 * @returns dB; undefined when the data starts above 100 Hz or ends below about 6.4 kHz. Bands the data
 *   does not cover at the top are left out
 * @example a response falling 1 dB per octave has 0.125
 */
export function narrowBandDeviation(
  frequencyHz: ArrayLike<number>,
  levelDb: ArrayLike<number>,
): number | undefined {
  const firstHz = frequencyHz[0];
  const lastHz = frequencyHz[frequencyHz.length - 1];
  if (firstHz === undefined || lastHz === undefined || firstHz > FROM_HZ * 1.01) return undefined;
  const deviations: number[] = [];
  for (let band = 0; band < BANDS && bandEdge(band + 1) <= lastHz * 1.01; band += 1) {
    deviations.push(bandDeviation(frequencyHz, levelDb, band));
  }
  return deviations.length < LEAST_BANDS ? undefined : mean(deviations);
}

function bandEdge(band: number): number {
  return FROM_HZ * 2 ** (band / 2);
}

function bandDeviation(frequencyHz: ArrayLike<number>, levelDb: ArrayLike<number>, band: number): number {
  const levels = Array.from({ length: POINTS_PER_BAND }, (_, k) =>
    valueAtHz(frequencyHz, levelDb, bandEdge(band + (k + 0.5) / POINTS_PER_BAND)),
  );
  const bandMean = mean(levels);
  return mean(levels.map((level) => Math.abs(level - bandMean)));
}

function mean(values: readonly number[]): number {
  return values.reduce((sum, value) => sum + value, 0) / values.length;
}
