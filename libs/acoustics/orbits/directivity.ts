import type { AngleResponse, Orbit } from '../series.js';

/** One angle's response on the common grid. */
export interface GridAngle {
  readonly orbit: Orbit;
  /** (-180, 180] */
  readonly angleDeg: number;
  /** dB SPL at 2.83 V, 1 m. */
  readonly levelDb: Float64Array;
  readonly pressureSquared: Float64Array;
  /** True where the operator allowed the other side to stand in. */
  readonly mirrored: boolean;
  readonly series: AngleResponse;
}

/** Both orbits on one grid, ready for averaging. */
export interface Directivity {
  readonly frequencyHz: Float64Array;
  /** By orbit, then rising angle; one entry per angle. */
  readonly angles: readonly GridAngle[];
  readonly byKey: ReadonlyMap<string, GridAngle>;
  /** Angles given more than once: the first is used. */
  readonly duplicates: readonly (readonly AngleResponse[])[];
  /** Series whose frequency range shares too little with the others'. */
  readonly excluded: readonly AngleResponse[];
}
