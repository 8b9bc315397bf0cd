import type { Orbit } from '../series.js';
import type { BandedAngle, QualityContext } from './qualityContext.js';

/** The readings at +a and -a of one orbit. */
export interface SidePair {
  /** a, positive. */
  readonly angleDeg: number;
  readonly plus: BandedAngle;
  readonly minus: BandedAngle;
  /** Plus less minus, dB, one per context band. */
  readonly differenceDb: readonly number[];
}

/** All measured pairs of an orbit, by rising angle, 10..170. */
export function sidePairs(context: QualityContext, orbit: Orbit): SidePair[] {
  const byAngle = new Map(context.orbits[orbit].map((angle) => [angle.angleDeg, angle]));
  return context.orbits[orbit].flatMap((plus) => {
    const minus = byAngle.get(-plus.angleDeg);
    if (plus.angleDeg <= 0 || plus.angleDeg === 180 || minus === undefined) return [];
    const differenceDb = plus.bandDb.map((level, band) => level - minus.bandDb[band]);
    return [{ angleDeg: plus.angleDeg, plus, minus, differenceDb }];
  });
}
