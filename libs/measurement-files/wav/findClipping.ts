import type { SampleFormat } from './decodeSamples.js';

export interface Clipping {
  /** Samples that belong to clipped runs. */
  readonly samples: number;
  readonly runs: number;
  /** The first run's place, seconds from the start. */
  readonly firstSecond: number;
}

/** So many neighbouring samples at full scale are a flattened peak and not a peak that just reaches it. */
const RUN = 3;

/**
 * Looks for peaks flattened at digital full scale: `RUN` or more neighbouring samples at the largest value the
 * format holds. Floating-point recordings carry the clipping of the converter that made them, so for these the
 * same test is made with any value from 0.99 up that repeats exactly.
 */
export function findClipping(
  samples: Float32Array | Float64Array,
  sampleRateHz: number,
  format: SampleFormat,
): Clipping | undefined {
  const top = format.float ? 0.99 : 1 - 1.5 * 2 ** (1 - format.bits);
  let clipped = 0;
  let runs = 0;
  let first = -1;
  let run = 0;
  for (let at = 0; at <= samples.length; at += 1) {
    const value = samples[at] ?? 0;
    const atTop = Math.abs(value) >= top && (run === 0 || sameSide(value, samples[at - 1], format.float));
    if (atTop) {
      run += 1;
      continue;
    }
    if (run >= RUN) {
      if (runs === 0) first = at - run;
      runs += 1;
      clipped += run;
    }
    run = Math.abs(value) >= top ? 1 : 0;
  }
  return runs === 0 ? undefined : { samples: clipped, runs, firstSecond: first / sampleRateHz };
}

function sameSide(value: number, before: number, exact: boolean): boolean {
  return exact ? value === before : Math.sign(value) === Math.sign(before);
}
