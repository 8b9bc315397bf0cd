import { bandEdgesHz } from '../grid/bandEdgesHz.js';
import { bandLevelDb } from '../levels/bandLevelDb.js';
import type { GridAngle } from '../orbits/directivity.js';
import type { QualityContext } from './qualityContext.js';

/** Third-octave differences of two responses, first less second, for the context's bands inside `withinHz`. */
export function bandDifferences(
  { directivity, bandHz }: QualityContext,
  first: GridAngle,
  second: GridAngle,
  withinHz: readonly [number, number],
): number[] {
  if (directivity === undefined) return [];
  return bandHz
    .filter((centre) => centre > withinHz[0] * 0.9 && centre < withinHz[1] * 1.1)
    .flatMap((centre) => {
      const edges = bandEdgesHz(centre, 3);
      const one = bandLevelDb(directivity.frequencyHz, first.pressureSquared, edges);
      const other = bandLevelDb(directivity.frequencyHz, second.pressureSquared, edges);
      return one === undefined || other === undefined ? [] : [one - other];
    });
}
