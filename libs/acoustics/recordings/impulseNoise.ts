import { fastSize } from '../fourier/fastSize.js';
import { realFourier } from '../fourier/realFourier.js';
import { bandCentresHz } from '../grid/bandCentresHz.js';
import { bandEdgesHz } from '../grid/bandEdgesHz.js';
import { valueAtHz } from '../grid/valueAtHz.js';
import type { ResponseSeries } from '../series.js';
import type { ImpulseWindow } from './impulseWindow.js';
import type { LocatedImpulse } from './locatedImpulse.js';

/** What the noise of a file adds to its curve, per third-octave band. */
export interface ImpulseNoise {
  readonly centresHz: readonly number[];
  readonly levelDb: readonly number[];
  readonly noiseDb: readonly number[];
  /** Bands in which noise lifts the curve by 1 dB or more. */
  readonly drownedHz: readonly number[];
}

const BAND_HZ = [100, 10_000] as const;
/** Signal and noise this far above noise alone: 1 dB of it is noise [derived: -10 log10(1 - 10^(-0.69)) = 1]. */
const DROWNED_WITHIN_DB = 6.9;
const SHORTEST_SECONDS = 0.02;
/** Noise so far below the whole curve, were it white, is not looked at more closely. */
const CLEARLY_BELOW_DB = 30;

/**
 * Compares an impulse response's curve with the noise in the quietest sixteenth of its file.
 *
 * @param curve made of the same impulse through the same window, without the microphone's deviation taken off
 * @returns undefined when the noise is out of the question, or the file too short to tell
 */
export function impulseNoise(
  impulse: LocatedImpulse,
  window: ImpulseWindow,
  curve: Pick<ResponseSeries, 'frequencyHz' | 'levelDb'>,
): ImpulseNoise | undefined {
  const { extent, samples, fullScaleDb = 0 } = impulse;
  const rate = extent.sampleRateHz;
  const windowLength = (window.beforeSeconds + window.afterSeconds) * rate;
  const lowestDb = lowestWithin(curve, BAND_HZ);
  const whiteDb = 10 * Math.log10(extent.noisePower * windowLength + Number.MIN_VALUE) + fullScaleDb;
  if (!(whiteDb >= lowestDb - CLEARLY_BELOW_DB)) return undefined;
  const { start, end } = extent.quietest;
  if (end - start < SHORTEST_SECONDS * rate) return undefined;
  const noise = noiseDensity(samples, start, fastSize(end - start, 'atMost'));
  const centresHz = bandCentresHz(3, ...BAND_HZ).filter(
    (hz) => hz < 0.45 * rate && hz >= curve.frequencyHz[0],
  );
  const noiseDb = centresHz.map((hz) => {
    const [from, to] = bandEdgesHz(hz, 3).map((edge) => Math.round((edge / rate) * 2 * noise.length));
    const mean = noise.subarray(from, Math.max(from + 1, to)).reduce((sum, power) => sum + power, 0);
    return 10 * Math.log10((windowLength * mean) / Math.max(1, to - from) + Number.MIN_VALUE) + fullScaleDb;
  });
  const levelDb = centresHz.map((hz) => valueAtHz(curve.frequencyHz, curve.levelDb, hz));
  const drownedHz = centresHz.filter((_, i) => levelDb[i] - noiseDb[i] < DROWNED_WITHIN_DB);
  return { centresHz, levelDb, noiseDb, drownedHz };
}

/** Infinity when the curve holds nothing of the band. */
function lowestWithin(
  { frequencyHz, levelDb }: Pick<ResponseSeries, 'frequencyHz' | 'levelDb'>,
  [from, to]: readonly [number, number],
): number {
  let lowest = Infinity;
  for (let i = 0; i < levelDb.length; i++)
    if (levelDb[i] < lowest && frequencyHz[i] >= from && frequencyHz[i] <= to) lowest = levelDb[i];
  return lowest;
}

/** Mean |X|^2 per sample of the stretch, bins 0 .. size/2 - 1, under a half-sine window. */
function noiseDensity(samples: Float32Array | Float64Array, start: number, size: number): Float64Array {
  return realFourier(size).forward(
    (target) => {
      for (let i = 0; i < size; i++) target[i] = samples[start + i] * Math.sin((Math.PI * (i + 0.5)) / size);
    },
    (spectrum) => {
      // The half-sine's mean square is a half.
      const density = new Float64Array(size / 2);
      for (let k = 1; k < density.length; k++)
        density[k] = (spectrum[2 * k] ** 2 + spectrum[2 * k + 1] ** 2) / (size / 2);
      return density;
    },
  );
}
