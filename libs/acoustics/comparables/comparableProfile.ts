import type { AnalysisResult } from '../analysis.js';
import { bandCentresHz } from '../grid/bandCentresHz.js';
import { bandEdgesHz } from '../grid/bandEdgesHz.js';
import { bandMean } from '../response/bandMean.js';

/**
 * What a loudspeaker is compared by, in the same bands for every unit, so that two profiles can be subtracted value
 * by value. A band (or limit) that was not measured is null; a part with no value at all is empty.
 */
export interface ComparableProfile {
  /** Listening window in third octaves, 200 Hz to 16 kHz, dB re its mean from 300 Hz to 3 kHz. */
  readonly responseDb: readonly (number | null)[];
  /** Directivity index of the sound power in the same bands, dB. */
  readonly directivityDb: readonly (number | null)[];
  /** The -3 and -10 dB limits as octaves re 1 Hz (log2). */
  readonly bassOctaves: readonly (number | null)[];
}

const BANDS_PER_OCTAVE = 3;
const BANDS = bandCentresHz(BANDS_PER_OCTAVE, 198, 16_000).map((centreHz) =>
  bandEdgesHz(centreHz, BANDS_PER_OCTAVE),
);
/** The band sensitivity is taken over, so that loud and quiet units of one shape are alike. */
const REFERENCE_BAND_HZ = [300, 3000] as const;

/**
 * Third octaves because that is how finely units are told apart by their balance; narrower faults are findings, not
 * character. Bands after IEC 61260-1; the choice of curves and bands is ours.
 *
 * @returns undefined when the result holds nothing to compare by
 */
export function comparableProfile(
  result: Pick<AnalysisResult, 'frequencyHz' | 'curves' | 'bass'>,
): ComparableProfile | undefined {
  const frequencyHz = result.frequencyHz ?? [];
  const { listeningWindow, soundPowerDirectivityIndex } = result.curves ?? {};
  const reference = listeningWindow && bandMean(frequencyHz, listeningWindow, REFERENCE_BAND_HZ);
  const profile = {
    responseDb: reference === undefined ? [] : bandValues(frequencyHz, listeningWindow ?? [], reference),
    directivityDb: bandValues(frequencyHz, soundPowerDirectivityIndex ?? [], 0),
    bassOctaves: someOf([octaves(result.bass?.f3Hz), octaves(result.bass?.f10Hz)]),
  };
  return Object.values(profile).every(({ length }) => length === 0) ? undefined : profile;
}

function bandValues(frequencyHz: readonly number[], values: readonly number[], reference: number) {
  if (values.length === 0) return [];
  return someOf(
    BANDS.map((band) => {
      const mean = bandMean(frequencyHz, values, band);
      return mean === undefined ? null : mean - reference;
    }),
  );
}

const octaves = (hz: number | undefined): number | null => (hz === undefined ? null : Math.log2(hz));

const someOf = (values: readonly (number | null)[]): readonly (number | null)[] =>
  values.every((value) => value === null) ? [] : values;
