import { fen8 } from './fen8.js';
import { gravel12 } from './gravel12.js';
import { lumen6 } from './lumen6.js';
import { plane2 } from './plane2.js';
import { reedmaceC } from './reedmaceC.js';
import { sedge3 } from './sedge3.js';
import { sedge5 } from './sedge5.js';
import { strand7 } from './strand7.js';
import type { UnitDesign } from './unitDesign.js';
import { whin15 } from './whin15.js';
import { whin4 } from './whin4.js';

/** Every invented loudspeaker that has measurements. */
export const unitDesigns: readonly UnitDesign[] = [
  sedge5,
  sedge3,
  fen8,
  reedmaceC,
  lumen6,
  gravel12,
  whin4,
  whin15,
  plane2,
  strand7,
];
