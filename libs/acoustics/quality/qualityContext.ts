import { bandCentresHz } from '../grid/bandCentresHz.js';
import { bandEdgesHz } from '../grid/bandEdgesHz.js';
import { bandLevelDb } from '../levels/bandLevelDb.js';
import { angleAt } from '../orbits/angleAt.js';
import type { Directivity, GridAngle } from '../orbits/directivity.js';
import type { MeasurementSet, Orbit } from '../series.js';

/** One measured angle with its third-octave levels. */
export interface BandedAngle {
  readonly angleDeg: number;
  readonly angle: GridAngle;
  /** dB, one per band of the context. */
  readonly bandDb: readonly number[];
}

/** What the checks look at, prepared once. */
export interface QualityContext {
  readonly set: MeasurementSet;
  readonly directivity?: Directivity;
  /** Centres of the third-octave bands, 100 Hz to 10 kHz, that the data covers whole. */
  readonly bandHz: readonly number[];
  /** Measured angles by rising angle; a shared 0 or 180 reading stands in both orbits. */
  readonly orbits: Readonly<Record<Orbit, readonly BandedAngle[]>>;
}

/** Prepares what all checks share. */
export function qualityContext(set: MeasurementSet, directivity: Directivity | undefined): QualityContext {
  if (directivity === undefined) return { set, bandHz: [], orbits: { horizontal: [], vertical: [] } };
  const [probe] = directivity.angles;
  const bandHz = bandCentresHz(3, 100, 10_000).filter(
    (centre) =>
      bandLevelDb(directivity.frequencyHz, probe.pressureSquared, bandEdgesHz(centre, 3)) !== undefined,
  );
  const banded = new Map<GridAngle, BandedAngle>();
  for (const angle of directivity.angles) {
    if (!angle.mirrored) banded.set(angle, toBands(directivity.frequencyHz, angle, bandHz));
  }
  return {
    set,
    directivity,
    bandHz,
    orbits: {
      horizontal: orbitOf(directivity, banded, 'horizontal'),
      vertical: orbitOf(directivity, banded, 'vertical'),
    },
  };
}

function toBands(frequencyHz: Float64Array, angle: GridAngle, bandHz: readonly number[]): BandedAngle {
  const bandDb = bandHz.map(
    (centre) => bandLevelDb(frequencyHz, angle.pressureSquared, bandEdgesHz(centre, 3)) ?? 0,
  );
  return { angleDeg: angle.angleDeg, angle, bandDb };
}

function orbitOf(
  directivity: Directivity,
  banded: ReadonlyMap<GridAngle, BandedAngle>,
  orbit: Orbit,
): BandedAngle[] {
  const own = directivity.angles.filter((angle) => angle.orbit === orbit && !angle.mirrored);
  const offAxis = own.some(({ angleDeg }) => angleDeg !== 0 && angleDeg !== 180);
  const shared = offAxis ? [0, 180].flatMap((angleDeg) => angleAt(directivity, orbit, angleDeg) ?? []) : [];
  const all = [...new Set([...own, ...shared])];
  return all.flatMap((angle) => banded.get(angle) ?? []).sort((one, other) => one.angleDeg - other.angleDeg);
}
