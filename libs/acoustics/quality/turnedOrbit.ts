import type { QualityFinding } from '../series.js';
import { bandIndices } from './bandIndices.js';
import { levelEvidence } from './levelEvidence.js';
import type { BandedAngle, QualityContext } from './qualityContext.js';
import { rms } from './rms.js';

const BAND_HZ = [1000, 8000] as const;
const SHIFTS_DEG = [-20, -10, 10, 20];
const LEAST_ASYMMETRY_DB = 1.5;
/** The turned orbit must be symmetric this much better than the given one; less will do if 0° agrees. */
const CLEARLY_BETTER = 0.3;
const BETTER = 0.5;

/**
 * The horizontal orbit is symmetric about another angle than 0: its stops are counted from the wrong mark.
 */
export function turnedOrbit(context: QualityContext): QualityFinding[] {
  const byAngle = new Map(context.orbits.horizontal.map((angle) => [angle.angleDeg, angle]));
  const bands = bandIndices(context.bandHz, ...BAND_HZ);
  if (byAngle.size < 20 || bands.length === 0 || context.directivity === undefined) return [];
  const given = asymmetryAbout(byAngle, bands, 0);
  if (given === undefined || given < LEAST_ASYMMETRY_DB) return [];
  const turned = SHIFTS_DEG.map((shift) => ({
    shift,
    db: asymmetryAbout(byAngle, bands, shift) ?? Infinity,
  }));
  const best = turned.reduce((least, candidate) => (candidate.db < least.db ? candidate : least));
  if (best.db > (verticalAgrees(context, byAngle, bands, best.shift) ? BETTER : CLEARLY_BETTER) * given)
    return [];
  const curves = [0, best.shift].flatMap((angleDeg) => byAngle.get(angleDeg)?.angle ?? []);
  return [
    {
      severity: 'blocking',
      code: 'turned-orbit',
      message: `The horizontal orbit is symmetric about ${best.shift}°, not 0° (${best.db.toFixed(1)} dB RMS left to right there, ${given.toFixed(1)} dB about 0°): the angles seem to be counted from the wrong mark. Set the turntable's zero on the reference axis and rename or measure the orbit again.`,
      evidence: levelEvidence('The stated and the apparent axis', context.directivity.frequencyHz, curves),
    },
  ];
}

/** Whether the vertical orbit's own 0° is the apparent axis rather than the stated one. */
function verticalAgrees(
  { orbits }: QualityContext,
  horizontal: ReadonlyMap<number, BandedAngle>,
  bands: readonly number[],
  shiftDeg: number,
): boolean {
  const axis = orbits.vertical.find(({ angleDeg, angle }) => angleDeg === 0 && angle.orbit === 'vertical');
  const [stated, apparent] = [0, shiftDeg].map((angleDeg) => horizontal.get(angleDeg));
  if (axis === undefined || stated === undefined || apparent === undefined) return false;
  const apart = (one: BandedAngle): number => rms(bands.map((band) => one.bandDb[band] - axis.bandDb[band]));
  return apart(apparent) < 0.7 * apart(stated);
}

function asymmetryAbout(
  byAngle: ReadonlyMap<number, BandedAngle>,
  bands: readonly number[],
  centreDeg: number,
): number | undefined {
  const differences: number[] = [];
  for (let away = 10; away <= 60; away += 10) {
    const plus = byAngle.get(centreDeg + away);
    const minus = byAngle.get(centreDeg - away);
    if (plus === undefined || minus === undefined) return undefined;
    for (const band of bands) differences.push(plus.bandDb[band] - minus.bandDb[band]);
  }
  return rms(differences);
}
