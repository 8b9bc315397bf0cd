import type { ImpulseResponse, MeasurementSet, Orbit } from '../../libs/acoustics/series.js';

export const SAMPLE_RATE_HZ = 48_000;
export const IMPULSE_SAMPLES = 65_536;
export const FULL_SCALE_DB = 110;

/** [orbit, angle] of 72 responses: both orbits in 10 degree steps, each with its own 0 and 180. */
export const ANGLES: readonly (readonly [Orbit, number])[] = (['horizontal', 'vertical'] as const).flatMap(
  (orbit) => Array.from({ length: 36 }, (_, i) => [orbit, -170 + 10 * i] as const),
);

/**
 * Invented impulse responses: a damped resonator behind a high-pass, duller off axis, and a room tail that fills the
 * file. Both orbits share their 0 and 180.
 *
 * @param buffer room for all samples, so that threads can share them
 */
export function impulseSet(buffer: SharedArrayBuffer): MeasurementSet {
  const all = new Float32Array(buffer);
  const impulses = ANGLES.map(([orbit, angleDeg], i): ImpulseResponse => {
    const samples = all.subarray(i * IMPULSE_SAMPLES, (i + 1) * IMPULSE_SAMPLES);
    const file = `${orbit[0]}${angleDeg}.wav`;
    return {
      orbit,
      angleDeg,
      sampleRateHz: SAMPLE_RATE_HZ,
      samples,
      fullScaleDb: FULL_SCALE_DB,
      source: { file, sha256: file },
    };
  });
  return {
    conditions: {},
    inputs: [],
    angles: [],
    impulses,
    recordings: [],
    impedance: [],
    distortion: [],
    multitone: [],
    compression: [],
    inRoom: [],
    calibrations: [],
    quality: [],
  };
}

/** Fills the buffer. */
export function writeImpulses(buffer: SharedArrayBuffer): void {
  const all = new Float32Array(buffer);
  ANGLES.forEach(([orbit, angleDeg], i) => {
    const shared = angleDeg === 0 || angleDeg === 180;
    const samples = all.subarray(i * IMPULSE_SAMPLES, (i + 1) * IMPULSE_SAMPLES);
    writeImpulse(
      samples,
      Math.abs(angleDeg),
      shared ? angleDeg : angleDeg + (orbit === 'vertical' ? 1000 : 0),
    );
  });
}

function writeImpulse(samples: Float32Array, offAxisDeg: number, start: number): void {
  const arrival = 400 + Math.round(offAxisDeg / 10);
  const dull = 0.98 - 0.9 * Math.exp(-offAxisDeg / 60);
  let state = (start * 2654435761) >>> 0;
  let low = 0;
  for (let n = arrival; n < samples.length; n++) {
    const t = (n - arrival) / SAMPLE_RATE_HZ;
    state = (Math.imul(state, 1664525) + 1013904223) >>> 0;
    const room = 1e-3 * (state / 2 ** 31 - 1) * Math.exp(-t / 0.25);
    const bass = -0.012 * Math.exp(-t / 0.006) * Math.cos(2 * Math.PI * 45 * t);
    const ring = 0.02 * Math.exp(-t / 0.0015) * Math.sin(2 * Math.PI * 2200 * t);
    const click = n === arrival ? 1 : 0;
    low = dull * low + (1 - dull) * (click + bass + ring);
    samples[n] = 0.3 * (low + room);
  }
}
