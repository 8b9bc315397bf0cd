/** How a simulated device and its recorder treat a signal; every step optional. */
export interface Chain {
  readonly sampleRateHz: number;
  /** Memoryless device: output for an input in -1..1. */
  readonly device?: (input: number) => number;
  /** A filter behind the device: biquads, each [b0, b1, b2, a1, a2]. */
  readonly biquads?: readonly (readonly [number, number, number, number, number])[];
  readonly gain?: number;
  readonly silenceBefore?: number;
  readonly silenceAfter?: number;
  /** Recorder seconds per player second. */
  readonly clockRatio?: number;
  /** Root mean square of added white noise. */
  readonly noise?: number;
  readonly noiseStart?: number;
}

/** Numerical Recipes' linear congruential generator and the sum of twelve uniform numbers: near enough normal. */
export function noiseSource(start: number): () => number {
  let state = start >>> 0;
  return () => {
    let sum = -6;
    for (let i = 0; i < 12; i++) {
      state = (Math.imul(state, 1664525) + 1013904223) >>> 0;
      sum += state / 2 ** 32;
    }
    return sum;
  };
}

/**
 * Plays a signal, given as a function of the player's time, through a device and records it.
 *
 * @param seconds how long the signal lasts by the player's clock
 */
export function playThrough(
  signal: (seconds: number) => number,
  seconds: number,
  chain: Chain,
): Float32Array {
  const { sampleRateHz, device = (x) => x, gain = 1, clockRatio = 1, noise = 0 } = chain;
  const before = Math.round((chain.silenceBefore ?? 0) * sampleRateHz);
  const length = Math.round(seconds * clockRatio * sampleRateHz);
  const total = before + length + Math.round((chain.silenceAfter ?? 0) * sampleRateHz);
  let recorded = new Float64Array(total);
  for (let n = 0; n < length; n++)
    recorded[before + n] = gain * device(signal(n / sampleRateHz / clockRatio));
  for (const biquad of chain.biquads ?? []) recorded = filtered(recorded, biquad);
  const next = noiseSource(chain.noiseStart ?? 1);
  return Float32Array.from(recorded, (value) => value + noise * next());
}

function filtered(
  samples: Float64Array,
  [b0, b1, b2, a1, a2]: readonly [number, number, number, number, number],
): Float64Array<ArrayBuffer> {
  const result = new Float64Array(samples.length);
  let [x1, x2, y1, y2] = [0, 0, 0, 0];
  for (let n = 0; n < samples.length; n++) {
    const x = samples[n];
    const y = b0 * x + b1 * x1 + b2 * x2 - a1 * y1 - a2 * y2;
    [x2, x1, y2, y1] = [x1, x, y1, y];
    result[n] = y;
  }
  return result;
}

/** |H|^2 of biquads [b0, b1, b2, a1, a2] in dB, from the definition. */
export function biquadsDb(
  biquads: readonly (readonly [number, number, number, number, number])[],
  hz: number,
  sampleRateHz: number,
): number {
  const w = (2 * Math.PI * hz) / sampleRateHz;
  const power = (c0: number, c1: number, c2: number): number =>
    (c0 + c1 * Math.cos(w) + c2 * Math.cos(2 * w)) ** 2 + (c1 * Math.sin(w) + c2 * Math.sin(2 * w)) ** 2;
  return biquads.reduce(
    (sum, [b0, b1, b2, a1, a2]) => sum + 10 * Math.log10(power(b0, b1, b2) / power(1, a1, a2)),
    0,
  );
}

/** x(t) = sin(2 pi f1 L (exp(t / L) - 1)), L = T / ln(f2 / f1) (Farina 2000). */
export function exponentialSweep(fromHz: number, toHz: number, seconds: number): (t: number) => number {
  const rise = seconds / Math.log(toHz / fromHz);
  return (t) => Math.sin(2 * Math.PI * fromHz * rise * (Math.exp(t / rise) - 1));
}

/** A high-pass or peaking biquad of the RBJ Audio EQ Cookbook (W3C Note, 8 June 2021). */
export function highPass(
  hz: number,
  q: number,
  sampleRateHz: number,
): [number, number, number, number, number] {
  const w = (2 * Math.PI * hz) / sampleRateHz;
  const alpha = Math.sin(w) / (2 * q);
  const a0 = 1 + alpha;
  const b = (1 + Math.cos(w)) / 2 / a0;
  return [b, -2 * b, b, (-2 * Math.cos(w)) / a0, (1 - alpha) / a0];
}

export function peaking(
  hz: number,
  gainDb: number,
  q: number,
  sampleRateHz: number,
): [number, number, number, number, number] {
  const w = (2 * Math.PI * hz) / sampleRateHz;
  const alpha = Math.sin(w) / (2 * q);
  const a = 10 ** (gainDb / 40);
  const a0 = 1 + alpha / a;
  return [
    (1 + alpha * a) / a0,
    (-2 * Math.cos(w)) / a0,
    (1 - alpha * a) / a0,
    (-2 * Math.cos(w)) / a0,
    (1 - alpha / a) / a0,
  ];
}
