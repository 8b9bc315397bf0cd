import { bandCentresHz } from '../grid/bandCentresHz.js';
import { bandEdgesHz } from '../grid/bandEdgesHz.js';
import { valueAtHz } from '../grid/valueAtHz.js';
import { findTones } from './findTones.js';
import type { PowerSpectrum } from './multitoneSpectrum.js';

/** What a multitone recording holds between its tones, per third-octave band (IEC 61260-1, base ten). */
export interface MultitoneDistortion {
  readonly frequencyHz: Float64Array;
  readonly distortionPercent: Float64Array;
  /** Everything between the tones over all tones, 20 Hz to 20 kHz. */
  readonly totalPercent: number;
  /** Mean square of all tones; a sine of amplitude 1 holds 0.5. */
  readonly tonePower: number;
  readonly missingHz: readonly number[];
  readonly clockRatio: number;
}

const BANDS_PER_OCTAVE = 3;
const LOWEST_HZ = 20;
const HIGHEST_HZ = 20_000;
const USABLE_SHARE_OF_RATE = 0.46;

/**
 * Distortion plus noise of a steady multitone.
 *
 * Each band's rest is set against the tones of the same band; where a band holds none, against what its
 * neighbours' tones suggest (linear in dB over log frequency, end values held). A product that falls on a tone
 * cannot be told from it.
 *
 * @param deviationDb the microphone's
 * @returns undefined when none of the tones is found
 */
export function multitoneDistortion(
  spectrum: PowerSpectrum,
  frequenciesHz: readonly number[],
  deviationDb: (hz: number) => number,
): MultitoneDistortion | undefined {
  const tones = findTones(spectrum, frequenciesHz);
  if (tones.bins.length === 0) return undefined;
  const topHz = Math.min(HIGHEST_HZ, 2 * spectrum.power.length * spectrum.binHz * USABLE_SHARE_OF_RATE);
  const bands = splitBands(spectrum, tones.bins, topHz, deviationDb);
  const withTones = bands.filter((band) => band.tones > 0);
  const tonePower = withTones.reduce((sum, band) => sum + band.tones, 0);
  const restPower = bands.reduce((sum, band) => sum + band.rest, 0);
  if (!(tonePower > 0)) return undefined;
  const centresHz = withTones.map((band) => band.centreHz);
  const levelsDb = withTones.map((band) => 10 * Math.log10(band.tones));
  const reference = (hz: number): number => 10 ** (valueAtHz(centresHz, levelsDb, hz) / 10);
  return {
    frequencyHz: Float64Array.from(bands, (band) => band.centreHz),
    distortionPercent: Float64Array.from(
      bands,
      (band) => 100 * Math.sqrt(band.rest / (band.tones > 0 ? band.tones : reference(band.centreHz))),
    ),
    totalPercent: 100 * Math.sqrt(restPower / tonePower),
    tonePower,
    missingHz: tones.missingHz,
    clockRatio: tones.clockRatio,
  };
}

interface BandPower {
  readonly centreHz: number;
  readonly tones: number;
  readonly rest: number;
}

/** A tone's leakage counts where the tone is, even when it reaches over a band edge. */
function splitBands(
  spectrum: PowerSpectrum,
  toneBins: readonly number[],
  topHz: number,
  deviationDb: (hz: number) => number,
): BandPower[] {
  const { power, binHz } = spectrum;
  const owner = toneOfBin(spectrum, toneBins);
  return bandCentresHz(BANDS_PER_OCTAVE, 0.99 * LOWEST_HZ, topHz).map((centreHz) => {
    const [from, to] = bandEdgesHz(centreHz, BANDS_PER_OCTAVE).map((hz) => Math.ceil(hz / binHz));
    const correction = 10 ** (-deviationDb(centreHz) / 10);
    let tones = 0;
    let rest = 0;
    for (
      let bin = Math.max(0, from - spectrum.leakBins);
      bin < Math.min(power.length, to + spectrum.leakBins);
      bin++
    ) {
      if (owner[bin] >= from && owner[bin] < to) tones += power[bin];
      else if (owner[bin] < 0 && bin >= from && bin < to) rest += power[bin];
    }
    return { centreHz, tones: tones * correction, rest: rest * correction };
  });
}

/** For each bin the nearest tone whose lobe it is in, or -1. */
function toneOfBin({ power, leakBins }: PowerSpectrum, toneBins: readonly number[]): Int32Array {
  const owner = new Int32Array(power.length).fill(-1);
  for (const tone of toneBins) {
    const last = Math.min(power.length - 1, tone + leakBins);
    for (let bin = Math.max(0, tone - leakBins); bin <= last; bin++)
      if (owner[bin] < 0 || Math.abs(bin - tone) < Math.abs(bin - owner[bin])) owner[bin] = tone;
  }
  return owner;
}
