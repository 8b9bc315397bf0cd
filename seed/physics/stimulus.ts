import { signalOf } from './fourier.js';
import { seededRandom } from './random.js';

export interface SweepSettings {
  readonly fromHz: number;
  readonly toHz: number;
  readonly seconds: number;
}

/**
 * Exponential sweep of amplitude 1 (Farina 2000, "Simultaneous measurement of impulse response and distortion
 * with a swept-sine technique", AES preprint 5093): sin(2 pi f1 L (e^(t/L) - 1)), L = T / ln(f2/f1), starting
 * `leadInS` after the first of `size` samples, silence around it.
 */
export function exponentialSweep(
  settings: SweepSettings,
  sampleRateHz: number,
  leadInS: number,
  size: number,
): Float64Array {
  const rate = settings.seconds / Math.log(settings.toHz / settings.fromHz);
  const start = Math.round(leadInS * sampleRateHz);
  const length = Math.round(settings.seconds * sampleRateHz);
  const signal = new Float64Array(size);
  for (let index = 0; index < length && start + index < size; index++) {
    const t = index / sampleRateHz;
    signal[start + index] = Math.sin(2 * Math.PI * settings.fromHz * rate * Math.expm1(t / rate));
  }
  return signal;
}

/**
 * Tones of equal size with fixed random phases and together the RMS of a sine of amplitude 1. Frequencies are
 * moved to whole periods of `size` samples, so that the signal repeats without a seam; the moved ones are
 * returned with it.
 */
export function multitone(
  frequenciesHz: readonly number[],
  sampleRateHz: number,
  size: number,
): { readonly signal: Float64Array; readonly frequenciesHz: readonly number[] } {
  const random = seededRandom(frequenciesHz.length);
  const bins = frequenciesHz.map((hz) => Math.round((hz * size) / sampleRateHz));
  const half = { re: new Float64Array(size / 2 + 1), im: new Float64Array(size / 2 + 1) };
  for (const bin of bins) {
    const phase = 2 * Math.PI * random();
    half.re[bin] = (size / 2) * Math.cos(phase);
    half.im[bin] = (size / 2) * Math.sin(phase);
  }
  const gain = 1 / Math.sqrt(bins.length);
  return {
    signal: signalOf(half, size).map((sample) => sample * gain),
    frequenciesHz: bins.map((bin) => (bin * sampleRateHz) / size),
  };
}

/** Thirds of an octave, base ten (IEC 61260-1), 25 Hz to 20 kHz. */
export const THIRD_OCTAVES_HZ: readonly number[] = Array.from(
  { length: 30 },
  (_, k) => 1000 * 10 ** ((k - 16) / 10),
);
