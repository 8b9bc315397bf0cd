import type { VerticalCoverage } from '../analysis.js';
import type { Directivity } from '../orbits/directivity.js';
import { orbitSide } from '../orbits/orbitSide.js';
import { dropAngles } from './dropAngles.js';
import { usableWindowDeg } from './usableWindowDeg.js';
import { verticalNulls } from './verticalNulls.js';

const DROP_DB = 6;

/**
 * Vertical coverage (-6 dB re on axis, up and down), the nulls between the drivers, and the window within
 * which a listener's ears may sit.
 *
 * @returns undefined unless both directions are measured to 60 degrees or more
 */
export function verticalCoverage(directivity: Directivity): VerticalCoverage | undefined {
  const upward = orbitSide(directivity, 'vertical', 1);
  const downward = orbitSide(directivity, 'vertical', -1);
  const up = dropAngles(upward, DROP_DB);
  const down = dropAngles(downward, DROP_DB);
  if (up === undefined || down === undefined) return undefined;
  const upWindow = usableWindowDeg(directivity.frequencyHz, upward);
  const downWindow = usableWindowDeg(directivity.frequencyHz, downward);
  if (upWindow === undefined || downWindow === undefined) return undefined;
  return {
    coverageDeg: { frequencyHz: Array.from(directivity.frequencyHz), up, down },
    nulls: verticalNulls(directivity),
    usableWindowDeg: { up: upWindow, down: downWindow },
  };
}
