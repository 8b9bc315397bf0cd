import type { Orbit } from '../../libs/acoustics/series.js';
import { SPEED_OF_SOUND_M_PER_S } from '../physics/air.js';
import type { Spectrum } from '../physics/complex.js';
import { fourierGrid, type FrequencyGrid } from '../physics/frequencyGrid.js';
import { levelsDb, prepare, pressureAt, type PreparedLoudspeaker } from '../physics/radiation.js';
import type { DataFile } from './dataFile.js';
import { impulseResponse } from './impulseResponse.js';
import type { ManifestEntry } from './manifestFile.js';
import { measuredResponse, phasesDeg } from './measuredResponse.js';
import { orbitAnglesDeg, wantedOrbits, type SetContext, type WrittenPart } from './setContext.js';
import { angleNames, type DirectivityRecipe } from './recipe.js';
import { frequencyColumn, tableFile } from './textTable.js';
import { wavFile } from './wavFile.js';

/** The responses of both orbits, in the form the recipe asks for. */
export function directivityFiles(context: SetContext): WrittenPart {
  const { directivity } = context.recipe;
  switch (directivity.form) {
    case 'file-per-angle':
      return { files: anglePerFile(context, directivity), entries: [] };
    case 'one-table':
      return oneTable(context, directivity.name);
    case 'impulse-responses':
      return impulseFiles(context, directivity);
    case 'axis-only':
      return axisOnly(context);
  }
}

interface Rig {
  readonly prepared: PreparedLoudspeaker;
  readonly axis: Spectrum;
}

function rigFor(context: SetContext, grid: FrequencyGrid): Rig {
  const prepared = prepare(context.design.loudspeaker, grid);
  const place = { orbit: 'horizontal', angleDeg: 0, distanceM: context.recipe.distanceM } as const;
  return { prepared, axis: pressureAt(prepared, place) };
}

function measured(context: SetContext, rig: Rig, orbit: Orbit, angleDeg: number, name: string): Spectrum {
  const { distanceM, driveVolts } = context.recipe;
  const place = { orbit, angleDeg, distanceM };
  return measuredResponse(rig.prepared, rig.axis, place, driveVolts, context.randomFor(name));
}

function anglePerFile(
  context: SetContext,
  directivity: DirectivityRecipe & { readonly form: 'file-per-angle' },
): readonly DataFile[] {
  const rig = rigFor(context, context.grid);
  return wantedOrbits(context).flatMap((orbit) =>
    orbitAnglesDeg.map((angleDeg) => {
      const name = directivity.name(orbit, angleDeg);
      const response = measured(context, rig, orbit, angleDeg, name);
      return tableFile(
        name,
        context.recipe.style,
        [`${context.recipe.unitName}, ${orbit} orbit, ${angleDeg} degrees`],
        [
          frequencyColumn(context.grid.frequencyHz),
          { header: 'magnitude_db', values: levelsDb(response), decimals: 3 },
          ...(directivity.phase ? [{ header: 'phase_deg', values: phasesDeg(response), decimals: 2 }] : []),
        ],
      );
    }),
  );
}

/** Tables need the manifest's word: the file's name says nothing about angles. */
function oneTable(context: SetContext, name: string): WrittenPart {
  const rig = rigFor(context, context.grid);
  const columns = wantedOrbits(context).flatMap((orbit) =>
    orbitAnglesDeg.map((angleDeg) => {
      const header = `${orbit[0]}${angleDeg}`;
      return { header, values: levelsDb(measured(context, rig, orbit, angleDeg, header)), decimals: 3 };
    }),
  );
  if (columns.length === 0) return { files: [], entries: [] };
  const comment = `${context.recipe.unitName}, levels in dB, one column per angle`;
  const file = tableFile(
    name,
    context.recipe.style,
    [comment],
    [frequencyColumn(context.grid.frequencyHz), ...columns],
  );
  return { files: [file], entries: [{ file: file.name, role: 'directivity' }] };
}

/** SPL of a sample of 1.0 in impulse responses. */
const FULL_SCALE_DB = 94;
/** Samples before sound that needs no time would arrive. */
const LEAD_IN_S = 0.002;

function impulseFiles(
  context: SetContext,
  directivity: DirectivityRecipe & { readonly form: 'impulse-responses' },
): WrittenPart {
  const { sampleRateHz, size } = directivity;
  const grid = fourierGrid(sampleRateHz, size);
  const rig = rigFor(context, grid);
  const arrivalS = LEAD_IN_S + context.recipe.distanceM / SPEED_OF_SOUND_M_PER_S;
  const files: DataFile[] = [];
  const entries: ManifestEntry[] = [];
  for (const orbit of wantedOrbits(context)) {
    for (const angleDeg of orbitAnglesDeg) {
      const name = `${angleNames.signedThree(orbit, angleDeg)}.wav`;
      const response = measured(context, rig, orbit, angleDeg, name);
      const noise = context.randomFor(`${name} noise`);
      const samples = impulseResponse(response, grid, arrivalS, FULL_SCALE_DB, noise);
      files.push(wavFile(name, samples, sampleRateHz));
      entries.push({ file: name, role: 'directivity', orbit, angleDeg, fullScaleDb: FULL_SCALE_DB });
    }
  }
  return { files, entries };
}

function axisOnly(context: SetContext): WrittenPart {
  if (!context.parts.has('horizontal')) return { files: [], entries: [] };
  const name = angleNames.signedThree('horizontal', 0);
  const response = measured(context, rigFor(context, context.grid), 'horizontal', 0, name);
  const file = tableFile(
    name,
    context.recipe.style,
    [`${context.recipe.unitName}, on axis`],
    [
      frequencyColumn(context.grid.frequencyHz),
      { header: 'magnitude_db', values: levelsDb(response), decimals: 3 },
      { header: 'phase_deg', values: phasesDeg(response), decimals: 2 },
    ],
  );
  return { files: [file], entries: [] };
}
