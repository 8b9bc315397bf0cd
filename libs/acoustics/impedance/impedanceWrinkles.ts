import type { Impedance } from '../analysis.js';
import { localTrend } from './localTrend.js';

/** Panels and the air inside a cabinet resonate in this range. */
const FROM_HZ = 80;
const TO_HZ = 10_000;
/** A wrinkle is narrower than the trend's window of a third of an octave to each side. */
const TREND_OCTAVES = 1 / 3;
const LEAST_STRENGTH = 0.015;
const NOISE_FACTOR = 6;
/** The bass resonances' own flanks are no wrinkles. */
const CLEAR_OF_BASS_PEAK = 1.5;
const BASS_PEAK_BELOW_HZ = 200;
const NEIGHBOUR_OCTAVES = 1 / 6;

/**
 * Small narrow disturbances of an otherwise smooth impedance, the usual sign of a resonance of the cabinet
 * or the diaphragm.
 *
 * ln|Z| (and the phase in radians, where known) is compared with its robust local trend; a wrinkle is where
 * the departure stands out from its neighbourhood's noise and exceeds 1.5 %.
 *
 * @param frequencyHz evenly spaced in log frequency
 * @param magnitudeOhm positive, as long as `frequencyHz`
 * @returns rising frequency; `strength` is the departure |dZ|/|Z| in percent
 */
export function impedanceWrinkles(
  frequencyHz: Float64Array,
  magnitudeOhm: Float64Array,
  phaseDeg?: Float64Array,
): Impedance['wrinkles'] {
  const count = frequencyHz.length;
  if (count < 40) return [];
  const step = Math.log2(frequencyHz[1] / frequencyHz[0]);
  const departure = departures(magnitudeOhm, phaseDeg, Math.round(TREND_OCTAVES / step));
  const firstHz = Math.max(FROM_HZ, CLEAR_OF_BASS_PEAK * upperBassPeakHz(frequencyHz, magnitudeOhm));
  const reach = Math.round(NEIGHBOUR_OCTAVES / step);
  const wrinkles: { frequencyHz: number; strength: number }[] = [];
  for (let at = 1; at < count - 1; at += 1) {
    const hz = frequencyHz[at];
    if (hz < firstHz || hz > TO_HZ || !isHighest(departure, at, reach)) continue;
    const noise = medianAround(departure, at, Math.round(1 / step));
    if (departure[at] < Math.max(LEAST_STRENGTH, NOISE_FACTOR * noise)) continue;
    wrinkles.push({ frequencyHz: hz, strength: 100 * departure[at] });
  }
  return wrinkles;
}

function departures(
  magnitudeOhm: Float64Array,
  phaseDeg: Float64Array | undefined,
  halfWidth: number,
): Float64Array {
  const logMagnitude = magnitudeOhm.map((ohm) => Math.log(ohm));
  const radians = phaseDeg?.map((deg) => (deg * Math.PI) / 180);
  const magnitudeTrend = localTrend(logMagnitude, halfWidth);
  const phaseTrend = radians && localTrend(radians, halfWidth);
  return logMagnitude.map((value, at) =>
    Math.hypot(value - magnitudeTrend[at], radians && phaseTrend ? radians[at] - phaseTrend[at] : 0),
  );
}

/** The highest-frequency peak under 200 Hz that stands out: the box or driver resonance. */
function upperBassPeakHz(frequencyHz: Float64Array, magnitudeOhm: Float64Array): number {
  const floor = Math.min(...magnitudeOhm);
  let peakHz = 0;
  for (let at = 1; at < frequencyHz.length - 1 && frequencyHz[at] <= BASS_PEAK_BELOW_HZ; at += 1) {
    const ohm = magnitudeOhm[at];
    const isPeak = ohm >= magnitudeOhm[at - 1] && ohm > magnitudeOhm[at + 1];
    if (isPeak && ohm > 1.5 * floor) peakHz = frequencyHz[at];
  }
  return peakHz;
}

function isHighest(values: Float64Array, at: number, reach: number): boolean {
  const from = Math.max(0, at - reach);
  const to = Math.min(values.length - 1, at + reach);
  for (let i = from; i <= to; i += 1) if (i !== at && values[i] >= values[at]) return false;
  return true;
}

function medianAround(values: Float64Array, at: number, reach: number): number {
  const near = values.slice(Math.max(0, at - reach), at + reach + 1).sort();
  return near[near.length >> 1];
}
