/** How each named curve looks, everywhere. */
import type { CurveName } from '../../acoustics/analysis.js';
import type { Dash } from '../description.js';

export interface CurveLook {
  readonly label: string;
  readonly shortLabel: string;
  readonly slot: number;
  readonly dash: Dash;
}

/** A directivity index wears the colour of the curve it is taken from. */
export const CURVE_LOOKS: Readonly<Record<CurveName, CurveLook>> = {
  onAxis: { label: 'On axis', shortLabel: 'On axis', slot: 0, dash: 'solid' },
  listeningWindow: { label: 'Listening window', shortLabel: 'LW', slot: 1, dash: 'long' },
  earlyReflections: { label: 'Early reflections', shortLabel: 'ER', slot: 3, dash: 'dash-dot' },
  soundPower: { label: 'Sound power', shortLabel: 'SP', slot: 2, dash: 'short' },
  earlyReflectionsDirectivityIndex: {
    label: 'Early reflections DI',
    shortLabel: 'ERDI',
    slot: 3,
    dash: 'dash-dot',
  },
  soundPowerDirectivityIndex: { label: 'Sound power DI', shortLabel: 'SPDI', slot: 2, dash: 'short' },
  estimatedInRoom: { label: 'Estimated in-room', shortLabel: 'Room', slot: 4, dash: 'solid' },
  floorBounce: { label: 'Floor', shortLabel: 'Fl', slot: 1, dash: 'long' },
  ceilingBounce: { label: 'Ceiling', shortLabel: 'Ce', slot: 2, dash: 'short' },
  frontWallBounce: { label: 'Front wall', shortLabel: 'Fw', slot: 5, dash: 'solid' },
  sideWallBounce: { label: 'Side walls', shortLabel: 'Sw', slot: 4, dash: 'dots' },
  rearWallBounce: { label: 'Rear wall', shortLabel: 'Rw', slot: 6, dash: 'long' },
};

const DASHES: readonly Dash[] = ['solid', 'long', 'short', 'dash-dot', 'dots'];
const COLOURED_SLOTS = 6;

/** A look for the `index`-th of many like curves: no two of the first 35 share colour and dash. */
export function lookAt(index: number): { readonly slot: number; readonly dash: Dash } {
  const slot = index % (COLOURED_SLOTS + 1);
  const round = Math.floor(index / (COLOURED_SLOTS + 1));
  return { slot, dash: DASHES[(slot + round) % DASHES.length] ?? 'solid' };
}
