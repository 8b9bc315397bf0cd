import { logarithmicGrid } from '../physics/frequencyGrid.js';
import { terminalImpedance } from '../physics/impedance.js';
import { bellShaped } from '../physics/random.js';
import { phasesDeg } from './measuredResponse.js';
import type { SetContext, WrittenPart } from './setContext.js';
import { frequencyColumn, tableFile } from './textTable.js';

/** Magnitude and phase at the terminals; nothing for a unit with amplifiers of its own. */
export function impedanceFile(context: SetContext): WrittenPart {
  const grid = logarithmicGrid(10, 20000, 48);
  const impedance = terminalImpedance(context.design.loudspeaker, grid);
  if (!impedance || !context.parts.has('impedance')) return { files: [], entries: [] };
  const random = context.randomFor('impedance');
  const magnitudeOhm = impedance.re.map(
    (re, bin) => Math.hypot(re, impedance.im[bin]) * (1 + 0.0005 * bellShaped(random)),
  );
  const file = tableFile(
    'impedance',
    context.recipe.style,
    [`${context.recipe.unitName}, at the terminals`],
    [
      frequencyColumn(grid.frequencyHz),
      { header: 'impedance_ohm', values: magnitudeOhm, decimals: 4 },
      {
        header: 'phase_deg',
        values: phasesDeg(impedance).map((deg) => deg + 0.03 * bellShaped(random)),
        decimals: 3,
      },
    ],
  );
  return { files: [file], entries: [] };
}
