import type { HorizontalCoverage } from '../analysis.js';
import type { Directivity } from '../orbits/directivity.js';
import { orbitSide } from '../orbits/orbitSide.js';
import { dropAngles } from './dropAngles.js';

const DROP_DB = 6;
const SUMMARY_HZ = [1000, 10_000] as const;

/**
 * Horizontal coverage: per frequency and side, the angle where the level is 6 dB below on axis. The summary
 * is the median over 1-10 kHz (evenly in log frequency) of the mean of both sides, so that it names one
 * side's angle; about 60-70 degrees is wide, 20 is narrow (common practice, no source).
 *
 * @returns undefined unless both sides are measured, or mirrored by the operator's word, to 60 degrees or
 *   more, and the data reaches into 1-10 kHz
 */
export function horizontalCoverage(directivity: Directivity): HorizontalCoverage | undefined {
  const left = dropAngles(orbitSide(directivity, 'horizontal', -1), DROP_DB);
  const right = dropAngles(orbitSide(directivity, 'horizontal', 1), DROP_DB);
  if (left === undefined || right === undefined) return undefined;
  const frequencyHz = Array.from(directivity.frequencyHz);
  const oneSide = left.map((angle, at) => (angle + right[at]) / 2);
  const inBand = oneSide.filter(
    (_, at) => frequencyHz[at] >= SUMMARY_HZ[0] * 0.999 && frequencyHz[at] <= SUMMARY_HZ[1] * 1.001,
  );
  if (inBand.length === 0) return undefined;
  return { coverageDeg: { frequencyHz, left, right }, summaryDeg: median(inBand) };
}

function median(values: readonly number[]): number {
  const sorted = values.toSorted((one, other) => one - other);
  const middle = sorted.length >> 1;
  return sorted.length % 2 === 1 ? sorted[middle] : (sorted[middle - 1] + sorted[middle]) / 2;
}
