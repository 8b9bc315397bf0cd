import { randomNumbers } from './randomNumbers.js';

/** Repeatable normal deviates of unit variance (Box-Muller). */
export function gaussianNumbers(seed: number): () => number {
  const uniform = randomNumbers(seed);
  return () => Math.sqrt(-2 * Math.log(1 - uniform())) * Math.cos(2 * Math.PI * uniform());
}
