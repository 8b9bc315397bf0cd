import { axisModel } from '../physics/axisModel.js';
import { logarithmicGrid } from '../physics/frequencyGrid.js';
import { seededRandom, seedFor } from '../physics/random.js';
import { unitDesigns } from '../units/index.js';
import type { DataFile } from './dataFile.js';
import { directivityFiles } from './directivityFiles.js';
import { impedanceFile } from './impedanceFile.js';
import { levelFiles } from './levelFiles.js';
import { manifestFile } from './manifestFile.js';
import { setParts, type SetPart } from './recipe.js';
import { setRecipes } from './recipes.js';
import type { SetContext } from './setContext.js';

export interface SetOptions {
  readonly seed: number;
  readonly serial?: string;
  /** What has been measured so far; everything unless said. */
  readonly parts?: readonly SetPart[];
}

/**
 * The measurement files of an invented unit, as its rig would have written them; the same for the same seed.
 * Throws for an unknown design.
 *
 * @example measurementSet('sedge-5', { seed: 1 }).length // 79: 72 angles, impedance, 2 + 2 + ... and a manifest
 */
export function measurementSet(designId: string, options: SetOptions): readonly DataFile[] {
  const context = contextFor(designId, options);
  const parts = [directivityFiles(context), impedanceFile(context), levelFiles(context)];
  const files = parts.flatMap((part) => part.files);
  if (!context.recipe.manifest) return files;
  const entries = parts.flatMap((part) => part.entries);
  return [manifestFile(context.recipe, entries, options.serial), ...files];
}

function contextFor(designId: string, options: SetOptions): SetContext {
  const design = unitDesigns.find((candidate) => candidate.id === designId);
  const recipe = setRecipes.find((candidate) => candidate.designId === designId);
  if (!design || !recipe) throw new Error(`There is no invented unit called ${designId}.`);
  const grid = logarithmicGrid(recipe.fromHz, recipe.toHz, recipe.pointsPerOctave);
  return {
    design,
    recipe,
    grid,
    axis: axisModel(design.loudspeaker, grid, recipe.levelBandHz),
    parts: new Set(options.parts ?? setParts),
    randomFor: (fileName) => seededRandom(seedFor(options.seed, `${designId}/${fileName}`)),
  };
}
