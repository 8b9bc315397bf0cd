import type { Finding, VerticalCoverage } from '../analysis.js';
import { sayDb } from './words/sayDb.js';
import { sayHz } from './words/sayHz.js';
import { sayNumber } from './words/sayNumber.js';

/** Range given to a null that is known only by its centre, octaves either side; common practice, no source. */
const HALF_WIDTH_OCTAVES = 1 / 4;

/** One finding per vertical null, with the ear heights that keep clear of it. */
export function verticalNullFindings(vertical: VerticalCoverage | undefined): readonly Finding[] {
  if (!vertical) return [];
  const { up, down } = vertical.usableWindowDeg;
  return vertical.nulls.map(({ frequencyHz, angleDeg, depthDb }) => ({
    kind: 'vertical-null',
    fromHz: frequencyHz / 2 ** HALF_WIDTH_OCTAVES,
    toHz: frequencyHz * 2 ** HALF_WIDTH_OCTAVES,
    centreHz: frequencyHz,
    levelDb: -Math.abs(depthDb),
    correctable: false,
    why:
      `At ${sayHz(frequencyHz)} the level falls ${sayDb(depthDb)} at ${sayNumber(Math.abs(angleDeg))} degrees ` +
      `${angleDeg >= 0 ? 'above' : 'below'} the axis, where drivers cancel; ears should stay within ` +
      `${sayNumber(Math.abs(up))} degrees above and ${sayNumber(Math.abs(down))} below it.`,
  }));
}
