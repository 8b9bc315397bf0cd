import type { Orbit } from '../series.js';
import type { QualityContext } from './qualityContext.js';
import { sidePairs } from './sidePairs.js';

/** A closed orbit's sound pressure split into what its two sides share and what they differ by. */
export interface ParityParts {
  /** Rows for 0, 10 .. 180 degrees, one value per context band: mean of the two sides. */
  readonly even: readonly (readonly number[])[];
  /** Half the difference of the sides, plus less minus; 0 at 0 and 180. */
  readonly odd: readonly (readonly number[])[];
}

/**
 * Splits an orbit by parity. Pressure magnitudes, relative to the band's RMS around the orbit, rather than
 * decibels: small errors of angle near a null then stay small.
 *
 * @returns undefined unless all 36 readings of the 10 degree raster are there
 */
export function parityParts(context: QualityContext, orbit: Orbit): ParityParts | undefined {
  const onRaster = context.orbits[orbit].filter(({ angleDeg }) => angleDeg % 10 === 0);
  const pairs = sidePairs(context, orbit).filter(({ angleDeg }) => angleDeg % 10 === 0);
  const front = onRaster.find(({ angleDeg }) => angleDeg === 0);
  const rear = onRaster.find(({ angleDeg }) => angleDeg === 180);
  if (pairs.length !== 17 || front === undefined || rear === undefined) return undefined;
  const energy = context.bandHz.map((_, band) =>
    onRaster.reduce((sum, { bandDb }) => sum + 10 ** (bandDb[band] / 10), 0),
  );
  const pressures = (bandDb: readonly number[]): number[] =>
    bandDb.map((level, band) => 10 ** (level / 20) / Math.sqrt(energy[band] / onRaster.length));
  const sides = pairs.map(({ plus, minus }) => [pressures(plus.bandDb), pressures(minus.bandDb)]);
  const nothing = context.bandHz.map(() => 0);
  return {
    even: [
      pressures(front.bandDb),
      ...sides.map(([plus, minus]) => plus.map((value, band) => (value + minus[band]) / 2)),
      pressures(rear.bandDb),
    ],
    odd: [
      nothing,
      ...sides.map(([plus, minus]) => plus.map((value, band) => (value - minus[band]) / 2)),
      nothing,
    ],
  };
}
