import type { CorrectableShape } from './correctableShape.js';

/**
 * Adds a departure's level at every frequency to `sum`, dB: a bell as the analogue prototype of the RBJ
 * cookbook's peaking filter has it, a slope straight over log frequency and level beyond its ends.
 *
 * @param sum as long as `frequencyHz`
 */
export function addShapeDb(
  { kind, centreHz, fromHz, toHz, levelDb, q }: CorrectableShape,
  frequencyHz: ArrayLike<number>,
  sum: Float64Array,
): void {
  const amplitude = 10 ** (levelDb / 40);
  for (let i = 0; i < sum.length; i++) {
    const hz = frequencyHz[i];
    if (kind === 'slope') {
      const within = Math.min(toHz, Math.max(fromHz, hz));
      sum[i] += levelDb * (Math.log(within / fromHz) / Math.log(toHz / fromHz) - 0.5);
    } else {
      const x = hz / centreHz;
      const real = (1 - x * x) ** 2;
      sum[i] += 10 * Math.log10((real + ((amplitude * x) / q) ** 2) / (real + (x / (amplitude * q)) ** 2));
    }
  }
}
