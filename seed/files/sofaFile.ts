import type { AngleResponse } from '../../libs/acoustics/series.js';
import { writeSofa } from '../../libs/measurement-files/sofa/writeSofa.js';
import { logarithmicGrid } from '../physics/frequencyGrid.js';
import { levelsDb, prepare, pressureAt } from '../physics/radiation.js';
import { unitDesigns } from '../units/index.js';
import type { DataFile } from './dataFile.js';
import { phasesDeg } from './measuredResponse.js';
import { orbitAnglesDeg } from './setContext.js';
import { INVENTED_LINE } from './textTable.js';

const DISTANCE_M = 2;
/** Dates inside the file are fixed, so that it is the same whenever it is made. */
const MADE_AT = new Date('2026-01-05T12:00:00Z');

/** Both orbits of an invented unit without any noise, as one SOFA file (AES69). Throws for an unknown design. */
export async function sofaFile(designId: string): Promise<DataFile> {
  const design = unitDesigns.find((candidate) => candidate.id === designId);
  if (!design) throw new Error(`There is no invented unit called ${designId}.`);
  const grid = logarithmicGrid(20, 20000, 24);
  const prepared = prepare(design.loudspeaker, grid);
  const responses = (['horizontal', 'vertical'] as const).flatMap((orbit) =>
    orbitAnglesDeg.map((angleDeg): AngleResponse => {
      const pressure = pressureAt(prepared, { orbit, angleDeg, distanceM: DISTANCE_M });
      return {
        orbit,
        angleDeg,
        frequencyHz: grid.frequencyHz,
        levelDb: levelsDb(pressure),
        phaseDeg: phasesDeg(pressure),
        source: { file: `${designId}.sofa`, sha256: '' },
      };
    }),
  );
  const bytes = await writeSofa(responses, DISTANCE_M, {
    title: `${designId} (invented)`,
    createdAt: MADE_AT,
    modifiedAt: MADE_AT,
    authorContact: 'jonas@twochairroom.example',
    organization: 'The Two-Chair Room (invented)',
    license: 'No restrictions: invented data',
    databaseName: 'Invented demo',
    sourceType: 'loudspeaker',
    sourceManufacturer: 'invented',
    referencePoint: 'on the baffle, at the treble driver',
    applicationVersion: '1',
    comment: INVENTED_LINE,
  });
  return { name: `${designId}.sofa`, bytes };
}
