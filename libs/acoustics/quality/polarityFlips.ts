import type { Orbit, QualityFinding } from '../series.js';
import { angleName } from './angleName.js';
import { bandIndices } from './bandIndices.js';
import { mean } from './mean.js';
import { orbitRing } from './orbitRing.js';
import { phaseOffsetDeg } from './phaseOffsetDeg.js';
import type { BandedAngle, QualityContext } from './qualityContext.js';

/** Between 10 degree neighbours anything beyond this is a flip. */
const FLIPPED_DEG = 120;
const SAME_DEG = 60;
/** A dipole turns over by itself, but only through a null: both sides of a real flip are loud. */
const LOUD_WITHIN_DB = 10;
const BAND_HZ = [125, 1250] as const;

/**
 * Readings whose polarity is opposite to that of their neighbours although no null lies between them.
 * Averages of energy don't care; impulse responses, phase and sums of drivers do.
 */
export function polarityFlips(context: QualityContext): QualityFinding[] {
  return (['horizontal', 'vertical'] as const).flatMap((orbit) => orbitFlips(context, orbit));
}

function orbitFlips(context: QualityContext, orbit: Orbit): QualityFinding[] {
  const { angles, closed } = orbitRing(context, orbit);
  if (angles.length < 3 || angles.some(({ angle }) => angle.series.phaseDeg === undefined)) return [];
  const bands = bandIndices(context.bandHz, ...BAND_HZ);
  const levels = angles.map(({ bandDb }) => mean(bands.map((band) => bandDb[band])));
  const loudEnough = Math.max(...levels) - LOUD_WITHIN_DB;
  const flips: number[] = [];
  let known = true;
  for (let at = 0; at < (closed ? angles.length : angles.length - 1); at += 1) {
    const next = (at + 1) % angles.length;
    const offset = phaseOffsetDeg(angles[at].angle.series, angles[next].angle.series);
    if (offset === undefined) known = false;
    else if (offset > FLIPPED_DEG && levels[at] > loudEnough && levels[next] > loudEnough) flips.push(at);
    else if (offset > SAME_DEG && levels[at] > loudEnough && levels[next] > loudEnough) known = false;
  }
  if (flips.length === 0) return [];
  return findings(orbit, angles, runsBetween(flips, angles.length, closed), known);
}

/** Runs of readings between two flips, every other one: those that are shorter in total. */
function runsBetween(flips: readonly number[], count: number, closed: boolean): number[][] {
  const starts = flips.map((at) => at + 1);
  const segments = starts.map((start, k) => {
    const end = starts[k + 1] ?? (closed ? starts[0] + count : count);
    return Array.from({ length: end - start }, (_, j) => (start + j) % count);
  });
  if (!closed) segments.unshift(Array.from({ length: starts[0] }, (_, j) => j));
  const total = (parity: number): number =>
    segments.filter((_, k) => k % 2 === parity).reduce((sum, segment) => sum + segment.length, 0);
  const minority = total(0) <= total(1) ? 0 : 1;
  return segments.filter((_, k) => k % 2 === minority);
}

function findings(
  orbit: Orbit,
  angles: readonly BandedAngle[],
  runs: readonly (readonly number[])[],
  known: boolean,
): QualityFinding[] {
  return runs.map((run) => {
    const first = angles[run[0]];
    const last = angles[run.at(-1) ?? run[0]];
    const name =
      run.length === 1
        ? angleName(orbit, first.angleDeg)
        : `${angleName(orbit, first.angleDeg)} to ${angleName(orbit, last.angleDeg)}`;
    const neighbour = angles[(run[0] + angles.length - 1) % angles.length];
    return {
      severity: known ? 'blocking' : 'check',
      code: 'polarity-flip',
      message: `${name} ${run.length === 1 ? 'has' : 'have'} the opposite polarity of the neighbouring angles. Check the leads at the loudspeaker, amplifier and microphone, and measure ${run.length === 1 ? 'it' : 'them'} again.`,
      file: first.angle.series.source.file,
      evidence: phaseEvidence(first, neighbour),
    } satisfies QualityFinding;
  });
}

function phaseEvidence(flipped: BandedAngle, neighbour: BandedAngle): QualityFinding['evidence'] {
  const { frequencyHz } = flipped.angle.series;
  const keep = (_: number, at: number): boolean => frequencyHz[at] >= 100 && frequencyHz[at] <= 1500;
  const curves = [flipped, neighbour].flatMap(({ angle, angleDeg }) => {
    const { phaseDeg } = angle.series;
    if (phaseDeg === undefined || phaseDeg.length !== frequencyHz.length) return [];
    return [{ label: angleName(angle.orbit, angleDeg), values: Array.from(phaseDeg.filter(keep)) }];
  });
  return {
    title: 'Phase beside its neighbour',
    unit: '°',
    frequencyHz: Array.from(frequencyHz.filter(keep)),
    curves,
  };
}
