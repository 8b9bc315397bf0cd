import type { Orbit, QualityFinding } from '../series.js';
import { angleName } from './angleName.js';
import { bandIndices } from './bandIndices.js';
import { levelEvidence } from './levelEvidence.js';
import { median } from './median.js';
import { orbitRing } from './orbitRing.js';
import { parityParts } from './parityParts.js';
import type { BandedAngle, QualityContext } from './qualityContext.js';
import { ringResidual } from './ringResidual.js';
import { rms } from './rms.js';

const BAND_HZ = [630, 8000] as const;
/** Directivity alone bends less from angle to angle below this. */
const ODD_BAND_HZ = [630, 5000] as const;
const FRONT_DEG = 60;
/** A small change of a pressure of 1, in dB. */
const DB_PER_UNIT = 20 / Math.LN10;
const LEAST_RMS_DB = 0.9;
/** How far a reading must stand out of the others' unevenness. */
const TIMES_USUAL = 3.5;
/** What left and right differ by is far smoother than either; half the fault shows in it. */
const LEAST_ODD_DB = 0.35;
/** At 10 degrees the pattern of an off-centre tweeter looks the same. */
const NEAREST_SIDE_DEG = 20;
/** Without the one reading, no more than this share of the unsmoothness may be left. */
const LEFT_UNEXPLAINED = 0.3;

interface Outlier {
  readonly angleDeg: number;
  readonly sizeDb: number;
  readonly usualDb: number;
}

/**
 * One reading in front does not continue its neighbours' shape: another angle under this name, a grille
 * left on, something in the way. Level alone is `levelSteps`' business and is taken out first.
 *
 * On the horizontal orbit the other side is the witness: what the sides differ by is compared from angle to
 * angle, which shows a grille wherever the cabinet is otherwise symmetric.
 */
export function outOfFamily(context: QualityContext): QualityFinding[] {
  return (['horizontal', 'vertical'] as const).flatMap((orbit) => {
    const outlier =
      orbitOutlier(context, orbit) ?? (orbit === 'horizontal' ? sideOutlier(context) : undefined);
    return outlier === undefined ? [] : finding(context, orbit, outlier);
  });
}

function finding(
  context: QualityContext,
  orbit: Orbit,
  { angleDeg, sizeDb, usualDb }: Outlier,
): QualityFinding[] {
  const byAngle = new Map(context.orbits[orbit].map((angle) => [angle.angleDeg, angle.angle]));
  const shown = [angleDeg, angleDeg - 10, angleDeg + 10, -angleDeg].flatMap((deg) => byAngle.get(deg) ?? []);
  const name = angleName(orbit, angleDeg);
  return [
    {
      severity: 'check',
      code: 'out-of-family',
      message: `${name} does not continue its neighbours (${sizeDb.toFixed(1)} dB RMS from them, usually ${usualDb.toFixed(1)} dB). Check that it is the angle it says, that the grille is as for the others and that nothing stood in the way; then measure it again.`,
      file: shown[0].series.source.file,
      evidence: levelEvidence(
        `${name} among its neighbours`,
        context.directivity?.frequencyHz ?? new Float64Array(),
        [...new Set(shown)],
      ),
    },
  ];
}

/** The reading farthest from its neighbours on the same orbit, if it stands out. */
function orbitOutlier(context: QualityContext, orbit: Orbit): Outlier | undefined {
  const { angles, closed } = orbitRing(context, orbit);
  const bands = bandIndices(context.bandHz, ...BAND_HZ);
  if (angles.length < 9 || bands.length < 6) return undefined;
  const unevenness = shapeResiduals(angles, bands, closed);
  const inFront = angles.flatMap(({ angleDeg }, at) =>
    Math.abs(angleDeg) <= FRONT_DEG && unevenness[at] !== undefined ? [at] : [],
  );
  if (inFront.length < 5) return undefined;
  const usualDb = median(inFront.map((at) => unevenness[at] ?? 0));
  const worst = inFront.reduce((most, at) => ((unevenness[at] ?? 0) > (unevenness[most] ?? 0) ? at : most));
  const sizeDb = unevenness[worst] ?? 0;
  if (sizeDb < Math.max(LEAST_RMS_DB, TIMES_USUAL * usualDb)) return undefined;
  return { angleDeg: angles[worst].angleDeg, sizeDb, usualDb };
}

/** The angle whose side difference alone makes the orbit's side difference unsmooth. */
function sideOutlier(context: QualityContext): Outlier | undefined {
  const parts = parityParts(context, 'horizontal');
  const bands = bandIndices(context.bandHz, ...ODD_BAND_HZ);
  if (parts === undefined || bands.length < 6) return undefined;
  const residuals = bands.map((band) => oddResidual(parts.odd.map((row) => DB_PER_UNIT * row[band])));
  const before = sumOfSquares(residuals.flat());
  let found: Outlier | undefined;
  let least = LEFT_UNEXPLAINED * before;
  for (let row = NEAREST_SIDE_DEG / 10; row <= FRONT_DEG / 10; row += 1) {
    const shape = oddResidual(parts.odd.map((_, at) => (at === row ? 1 : 0)));
    const size = sumOfSquares(shape);
    const steps = residuals.map(
      (band) => band.reduce((sum, residual, at) => sum + residual * shape[at], 0) / size,
    );
    const after = before - size * sumOfSquares(steps);
    const sizeDb = shapeOf(steps);
    if (after >= least || sizeDb < LEAST_ODD_DB) continue;
    least = after;
    // Half of what is wrong with one side shows in the odd part.
    found = {
      angleDeg: lessEven(context, bands, 10 * row),
      sizeDb: 2 * sizeDb,
      usualDb: 2 * Math.sqrt(after / residuals.flat().length),
    };
  }
  return found;
}

/** Residual around the whole ring, of which the odd part's 0..180 degrees are one half; that half of it. */
function oddResidual(half: readonly number[]): number[] {
  const ring = [
    ...half,
    ...half
      .slice(1, -1)
      .toReversed()
      .map((value) => -value),
  ];
  const residual = ringResidual(
    ring,
    ring.map(() => true),
    true,
  );
  return residual.slice(0, half.length).map((value) => value ?? 0);
}

/** Which of the two sides' readings continues its own neighbours less well. */
function lessEven(context: QualityContext, bands: readonly number[], angleDeg: number): number {
  const { angles, closed } = orbitRing(context, 'horizontal');
  const own = shapeResiduals(angles, bands, closed);
  const at = (deg: number): number => own[angles.findIndex((angle) => angle.angleDeg === deg)] ?? 0;
  return at(angleDeg) >= at(-angleDeg) ? angleDeg : -angleDeg;
}

function sumOfSquares(values: readonly number[]): number {
  return values.reduce((sum, value) => sum + value * value, 0);
}

/**
 * Per reading, RMS over the bands of its departure from its neighbours, less what all bands share.
 *
 * Taken on pressure rather than level, relative to the band's loudest reading, so that a null, smooth in
 * pressure and abrupt in level, is no departure; given in dB for a reading as loud as the loudest.
 */
function shapeResiduals(
  angles: readonly BandedAngle[],
  bands: readonly number[],
  closed: boolean,
): (number | undefined)[] {
  const valid = angles.map(() => true);
  const residuals = bands.map((band) => {
    const loudest = Math.max(...angles.map(({ bandDb }) => bandDb[band]));
    const pressures = angles.map(({ bandDb }) => DB_PER_UNIT * 10 ** ((bandDb[band] - loudest) / 20));
    return ringResidual(pressures, valid, closed);
  });
  return angles.map((_, at) => {
    const known = residuals.flatMap((band) => band[at] ?? []);
    return known.length === 0 ? undefined : shapeOf(known);
  });
}

/** RMS about the median: a level step has no shape. */
function shapeOf(residuals: readonly number[]): number {
  const level = median(residuals);
  return rms(residuals.map((residual) => residual - level));
}
