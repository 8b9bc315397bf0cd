import type { AngleResponse, Orbit } from '../series.js';

/** The 72 angles (36 per orbit) of a full set. */
const ANGLES_DEG = Array.from({ length: 36 }, (_, k) => (k + 1) * 10 - 180);

/**
 * Both full orbits of a source given by its level.
 *
 * @param levelDb of a direction and frequency, dB
 */
export function orbitsOf(
  frequencyHz: Float64Array,
  levelDb: (orbit: Orbit, angleDeg: number, hz: number) => number,
): AngleResponse[] {
  return (['horizontal', 'vertical'] as const).flatMap((orbit) =>
    ANGLES_DEG.map((angleDeg) => ({
      orbit,
      angleDeg,
      frequencyHz,
      levelDb: frequencyHz.map((hz) => levelDb(orbit, angleDeg, hz)),
      source: { file: `${orbit} ${angleDeg}.csv`, sha256: `${orbit}${angleDeg}` },
    })),
  );
}
