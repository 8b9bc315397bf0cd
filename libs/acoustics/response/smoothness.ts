import { fitLine } from './fitLine.js';

const FROM_HZ = 100;
const TO_HZ = 16_000;

/**
 * Smoothness (Olive 2004, AES convention paper 6190; formula from memory): how much of a curve's variation
 * a straight line over log frequency explains, r squared, from 100 Hz to 16 kHz.
 *
 * @param frequencyHz rising, evenly spaced in log frequency
 * @returns 0..1; 1 for a straight line of any slope; undefined with fewer than three points in the band
 */
export function smoothness(frequencyHz: ArrayLike<number>, levelDb: ArrayLike<number>): number | undefined {
  const x: number[] = [];
  const y: number[] = [];
  for (let i = 0; i < frequencyHz.length; i += 1) {
    if (frequencyHz[i] < FROM_HZ * (1 - 1e-9) || frequencyHz[i] > TO_HZ * (1 + 1e-9)) continue;
    x.push(Math.log10(frequencyHz[i]));
    y.push(levelDb[i]);
  }
  return x.length < 3 ? undefined : fitLine(x, y).rSquared;
}
