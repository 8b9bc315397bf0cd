import type { Orbit } from '../../libs/acoustics/series.js';
import type { AxisModel } from '../physics/axisModel.js';
import type { FrequencyGrid } from '../physics/frequencyGrid.js';
import type { Random } from '../physics/random.js';
import type { UnitDesign } from '../units/unitDesign.js';
import type { DataFile } from './dataFile.js';
import type { ManifestEntry } from './manifestFile.js';
import type { SetPart, SetRecipe } from './recipe.js';

/** What the writers of a set's files share. */
export interface SetContext {
  readonly design: UnitDesign;
  readonly recipe: SetRecipe;
  readonly grid: FrequencyGrid;
  readonly axis: AxisModel;
  readonly parts: ReadonlySet<SetPart>;
  /** A stream of its own for each file, so that leaving one out changes no other. */
  readonly randomFor: (fileName: string) => Random;
}

export interface WrittenPart {
  readonly files: readonly DataFile[];
  /** What the manifest says about these files beyond their names. */
  readonly entries: readonly ManifestEntry[];
}

/** Angles of an orbit: every 10 degrees from -170 to 180. */
export const orbitAnglesDeg: readonly number[] = Array.from({ length: 36 }, (_, index) => -170 + 10 * index);

export function wantedOrbits(context: SetContext): readonly Orbit[] {
  return (['horizontal', 'vertical'] as const).filter((orbit) => context.parts.has(orbit));
}
