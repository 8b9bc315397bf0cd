import { bandCentresHz } from '../grid/bandCentresHz.js';
import { bandEdgesHz } from '../grid/bandEdgesHz.js';
import { bandLevelDb } from '../levels/bandLevelDb.js';
import type { GridAngle } from '../orbits/directivity.js';

const ALLOWED_LOSS_DB = 3;
/** Third-octave bands 1 kHz to 5 kHz: the last ends at 5.6 kHz, the next would pass 6 kHz. */
const CENTRES_HZ = bandCentresHz(3, 1000, 5100);
/** No ear sits behind the loudspeaker's height line. */
const WIDEST_DEG = 90;

/**
 * How far from the axis a listener may sit before any third-octave band within 1-6 kHz has lost more than
 * 3 dB against the axis; interpolated between readings.
 *
 * @param frequencyHz the grid
 * @param side one direction of the orbit, the axis first
 * @returns degrees, at most 90; undefined when the data covers none of the bands
 */
export function usableWindowDeg(frequencyHz: Float64Array, side: readonly GridAngle[]): number | undefined {
  const bands = CENTRES_HZ.map((centre) => bandEdgesHz(centre, 3));
  const near = side.filter((angle) => Math.abs(angle.angleDeg) <= WIDEST_DEG);
  const levels = near.map((angle) =>
    bands.map((band) => bandLevelDb(frequencyHz, angle.pressureSquared, band)),
  );
  const axis = levels[0];
  if (axis === undefined || axis.every((level) => level === undefined)) return undefined;
  const losses = levels.map((row) => row.map((level, band) => (axis[band] ?? 0) - (level ?? 0)));
  for (let k = 1; k < near.length; k += 1) {
    const inner = Math.abs(near[k - 1].angleDeg);
    const step = Math.abs(near[k].angleDeg) - inner;
    const shares = losses[k].flatMap((loss, band) =>
      loss > ALLOWED_LOSS_DB ? [(ALLOWED_LOSS_DB - losses[k - 1][band]) / (loss - losses[k - 1][band])] : [],
    );
    if (shares.length > 0) return inner + step * Math.min(...shares);
  }
  return Math.abs(near.at(-1)!.angleDeg);
}
