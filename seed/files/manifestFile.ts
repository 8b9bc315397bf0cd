import type { Orbit, Role, Stimulus } from '../../libs/acoustics/series.js';
import { textFile, type DataFile } from './dataFile.js';
import type { SetRecipe } from './recipe.js';

export interface ManifestEntry {
  readonly file: string;
  readonly role: Role;
  readonly orbit?: Orbit;
  readonly angleDeg?: number;
  readonly levelDb?: number;
  readonly stimulus?: Stimulus;
  readonly fullScaleDb?: number;
  readonly conditions?: { readonly distanceM?: number; readonly driveVolts?: number };
}

/** States the conditions and what the files' names leave open. */
export function manifestFile(
  recipe: SetRecipe,
  files: readonly ManifestEntry[],
  serial: string | undefined,
): DataFile {
  const conditions = {
    distanceM: recipe.distanceM,
    driveVolts: recipe.driveVolts,
    grille: 'off',
    referenceAxis: `${recipe.referenceAxis} (invented demo data, computed from a model)`,
    temperatureC: 20,
    unit: recipe.unitName,
    ...(serial !== undefined && { serial }),
    ...(recipe.ratedOhm !== undefined && { ratedOhm: recipe.ratedOhm }),
  };
  return textFile('manifest.json', `${JSON.stringify({ conditions, files }, null, 1)}\n`);
}
