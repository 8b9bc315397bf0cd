import type { Orbit } from '../series.js';
import type { BandedAngle, QualityContext } from './qualityContext.js';

/** Readings 10 degrees apart in turning order. */
export interface OrbitRing {
  readonly angles: readonly BandedAngle[];
  /** True when the last is followed by the first (36 readings). */
  readonly closed: boolean;
}

/**
 * The longest unbroken stretch of an orbit's readings on the 10 degree raster; the whole circle when none
 * is missing.
 */
export function orbitRing(context: QualityContext, orbit: Orbit): OrbitRing {
  const onRaster = context.orbits[orbit].filter(({ angleDeg }) => angleDeg % 10 === 0);
  if (onRaster.length === 36) return { angles: onRaster, closed: true };
  const stretches: BandedAngle[][] = [];
  for (const angle of onRaster) {
    const last = stretches.at(-1);
    if (last !== undefined && angle.angleDeg - (last.at(-1)?.angleDeg ?? 0) === 10) last.push(angle);
    else stretches.push([angle]);
  }
  const [first, final] = [stretches[0], stretches.at(-1)];
  // 180 is followed by -170.
  if (stretches.length > 1 && first[0].angleDeg === -170 && final?.at(-1)?.angleDeg === 180) {
    stretches[0] = [...final, ...first];
    stretches.pop();
  }
  const angles = stretches.reduce<BandedAngle[]>(
    (longest, stretch) => (stretch.length > longest.length ? stretch : longest),
    [],
  );
  return { angles, closed: false };
}
