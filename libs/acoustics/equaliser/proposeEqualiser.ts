import type { AnalysisSettings, BiquadFilter, CurveName, Curves, Equaliser, Finding } from '../analysis.js';
import { biquadOf } from './biquadOf.js';
import { biquadResponseDb } from './biquadResponseDb.js';
import { chooseFilters } from './chooseFilters.js';
import { correctionTarget } from './correctionTarget.js';
import { equaliserState } from './equaliserState.js';
import type { FittedFilters } from './fitFilters.js';
import { limitBoosts } from './limitBoosts.js';

export interface EqualiserInputs {
  readonly frequencyHz: readonly number[];
  readonly curves: Curves;
  readonly findings: readonly Finding[];
  readonly settings: Pick<AnalysisSettings, 'maximumFilters' | 'maximumBoostDb' | 'equaliserSampleRateHz'>;
}

/** Share of the sample rate above which no filter is placed: towards the half, shapes are squeezed. */
const HIGHEST_SHARE = 0.45;
const LOUDNESS_POINTS = 1000;
const SMALLEST_GAIN_DB = 0.05;

/**
 * A few filters that take correctable findings back, and what they change.
 *
 * Only peaks, dips, broad departures and tilts that are correctable are worked on; elsewhere the filters are fitted
 * to do nothing. No place is lifted by more than `maximumBoostDb` in all, and a directivity fault never beyond
 * what a correctable dip beside it takes from it, at most 0.25 dB (0.05 dB where there is no such dip).
 *
 * @returns undefined when there is nothing correctable or no filter pays its way
 */
export function proposeEqualiser({
  frequencyHz,
  curves,
  findings,
  settings,
}: EqualiserInputs): Equaliser | undefined {
  const { maximumFilters, equaliserSampleRateHz: sampleRateHz } = settings;
  const maximumBoostDb = Math.max(0, settings.maximumBoostDb);
  const target = correctionTarget(frequencyHz, curves, findings, maximumBoostDb);
  if (!target || maximumFilters < 1) return undefined;
  const fitted = chooseFilters(
    target,
    sampleRateHz,
    maximumFilters,
    maximumBoostDb,
    HIGHEST_SHARE * sampleRateHz,
  );
  const filters = limitBoosts(rounded(fitted, sampleRateHz), target, maximumBoostDb, sampleRateHz).toSorted(
    (one, other) => one.frequencyHz - other.frequencyHz,
  );
  if (filters.length === 0) return undefined;
  const gainDb = biquadResponseDb(filters, frequencyHz, sampleRateHz);
  return {
    sampleRateHz,
    filters,
    headroomDb: headroomDb(filters, sampleRateHz),
    before: equaliserState(frequencyHz, curves),
    after: equaliserState(frequencyHz, lifted(curves, gainDb)),
  };
}

/** Values as one types them in: four digits of frequency, hundredths of a dB, thousandths of Q. */
function rounded({ placements, parameters }: FittedFilters, sampleRateHz: number): readonly BiquadFilter[] {
  return placements.flatMap(({ type }, at) => {
    const [ln, gain, lnQ] = parameters.subarray(3 * at, 3 * at + 3);
    if (Math.abs(gain) < SMALLEST_GAIN_DB) return [];
    const frequencyHz = Number(Math.exp(ln).toPrecision(4));
    const q = Number(Math.exp(lnQ).toFixed(3));
    return [biquadOf(type, frequencyHz, Number(gain.toFixed(2)), q, sampleRateHz)];
  });
}

/** The loudest place the filters make, from 0 to half the sample rate. */
function headroomDb(filters: readonly BiquadFilter[], sampleRateHz: number): number {
  const half = sampleRateHz / 2;
  const evenly = Array.from(
    { length: LOUDNESS_POINTS + 1 },
    (_, i) => 10 * (half / 10) ** (i / LOUDNESS_POINTS),
  );
  const gains = biquadResponseDb(
    filters,
    [0, ...evenly, ...filters.map(({ frequencyHz }) => frequencyHz)],
    sampleRateHz,
  );
  return Math.max(0, ...gains);
}

const LIFTED: readonly CurveName[] = [
  'onAxis',
  'listeningWindow',
  'earlyReflections',
  'soundPower',
  'estimatedInRoom',
];

/** An equaliser acts on the sound in every direction alike. */
function lifted(curves: Curves, gainDb: Float64Array): Curves {
  return Object.fromEntries(
    LIFTED.flatMap((name) => {
      const curve = curves[name];
      return curve ? [[name, curve.map((level, i) => level + gainDb[i])]] : [];
    }),
  );
}
