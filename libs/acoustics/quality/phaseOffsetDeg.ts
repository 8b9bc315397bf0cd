import { firstAtOrAbove } from '../grid/firstAtOrAbove.js';
import type { AngleResponse } from '../series.js';

const FROM_HZ = 120;
const TO_HZ = 1200;
/** Evenly spaced, so that a delay turns the phase by the same amount from point to point. */
const POINTS = 40;
const STEP_HZ = (TO_HZ - FROM_HZ) / (POINTS - 1);
/** How much of the phase difference a delay and a constant must explain. */
const LEAST_COHERENCE = 0.8;

/**
 * The constant part of the phase difference of two responses once the delay between them is taken out:
 * near 0 when they have the same polarity, near 180 when one is flipped.
 *
 * @returns degrees, 0..180; undefined when either has no phase, the data does not cover 120-1200 Hz or the
 *   two differ by more than a delay and a constant
 */
export function phaseOffsetDeg(one: AngleResponse, other: AngleResponse): number | undefined {
  if (one.phaseDeg === undefined || other.phaseDeg === undefined) return undefined;
  if (!covers(one.frequencyHz) || !covers(other.frequencyHz)) return undefined;
  const radians = Array.from({ length: POINTS }, (_, k) => {
    const hz = FROM_HZ + k * STEP_HZ;
    return ((nearest(one, hz) - nearest(other, hz)) * Math.PI) / 180;
  });
  const perStep = meanDirection(radians.slice(1).map((value, k) => value - radians[k])).angle;
  const perHz = perStep / STEP_HZ;
  const constant = meanDirection(radians.map((value, k) => value - perHz * (FROM_HZ + k * STEP_HZ)));
  return constant.size < LEAST_COHERENCE ? undefined : Math.abs((constant.angle * 180) / Math.PI);
}

function meanDirection(radians: readonly number[]): { size: number; angle: number } {
  let re = 0;
  let im = 0;
  for (const angle of radians) {
    re += Math.cos(angle);
    im += Math.sin(angle);
  }
  return { size: Math.hypot(re, im) / radians.length, angle: Math.atan2(im, re) };
}

function covers(frequencyHz: Float64Array): boolean {
  return frequencyHz.length >= 10 && frequencyHz[0] <= FROM_HZ && (frequencyHz.at(-1) ?? 0) >= TO_HZ;
}

/** Phase wraps, so it is read at the nearest point rather than between two. */
function nearest({ frequencyHz, phaseDeg }: AngleResponse, hz: number): number {
  const high = Math.min(frequencyHz.length - 1, Math.max(1, firstAtOrAbove(frequencyHz, hz)));
  const low = high - 1;
  const at = hz - frequencyHz[low] < frequencyHz[high] - hz ? low : high;
  return phaseDeg?.[at] ?? 0;
}
