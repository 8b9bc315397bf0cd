import type { QualityFinding } from '../series.js';
import { bandIndices } from './bandIndices.js';
import { levelEvidence } from './levelEvidence.js';
import { mean } from './mean.js';
import type { QualityContext } from './qualityContext.js';
import { type SidePair, sidePairs } from './sidePairs.js';

/**
 * What a cabinet can do: below 630 Hz it is small against the wavelength, so its sides differ by little
 * even where a driver sits off centre; above, an offset tweeter makes several dB in places but not over
 * whole octaves and all angles (common practice, no source).
 */
const LOW_HZ = [100, 630] as const;
const LOW_CHECK_DB = 1.5;
const LOW_BLOCKING_DB = 3;
const OCTAVES_HZ: readonly (readonly [number, number])[] = [
  [800, 1250],
  [1600, 2500],
  [3150, 5000],
  [6300, 10_000],
];
const OCTAVE_CHECK_DB = 4;
const FRONT_DEG = 90;
/** Near a dipole's null a degree of error is many decibels. */
const NEAR_NULL_DB = 12;
const LEAST_PAIRS = 4;

/** Left and right of the horizontal orbit differ more than a cabinet's own asymmetry explains. */
export function leftRightAsymmetry(context: QualityContext): QualityFinding[] {
  const pairs = sidePairs(context, 'horizontal').filter(({ angleDeg }) => angleDeg <= FRONT_DEG);
  if (pairs.length < LEAST_PAIRS || context.directivity === undefined) return [];
  const low = meanDifference(pairs, bandIndices(context.bandHz, ...LOW_HZ));
  const octaves = OCTAVES_HZ.map((band) => meanDifference(pairs, bandIndices(context.bandHz, ...band)));
  const worst = octaves.reduce((most, db) => (Math.abs(db) > Math.abs(most) ? db : most), 0);
  if (Math.abs(low) < LOW_CHECK_DB && Math.abs(worst) < OCTAVE_CHECK_DB) return [];
  const lowIsWorse = Math.abs(low) >= LOW_CHECK_DB;
  const amount = lowIsWorse ? low : worst;
  const where = lowIsWorse ? 'below 630 Hz, where a cabinet can hardly be asymmetric' : 'over a whole octave';
  const evident = widestPair(pairs);
  return [
    {
      severity: Math.abs(low) >= LOW_BLOCKING_DB ? 'blocking' : 'check',
      code: 'left-right-asymmetry',
      message: `The right half of the horizontal orbit is on average ${Math.abs(amount).toFixed(1)} dB ${amount > 0 ? 'louder' : 'quieter'} than the left ${where}. Check that the cabinet stands over the turntable's axis, that 0° faces the microphone and that nothing stands on one side; then measure the half in doubt again.`,
      evidence: levelEvidence('Right against left', context.directivity.frequencyHz, [
        evident.plus.angle,
        evident.minus.angle,
      ]),
    },
  ];
}

function meanDifference(pairs: readonly SidePair[], bands: readonly number[]): number {
  const differences = bands.flatMap((band) => {
    const loudest = Math.max(...pairs.flatMap(({ plus, minus }) => [plus.bandDb[band], minus.bandDb[band]]));
    return pairs
      .filter(({ plus, minus }) => Math.min(plus.bandDb[band], minus.bandDb[band]) > loudest - NEAR_NULL_DB)
      .map(({ differenceDb }) => differenceDb[band]);
  });
  return differences.length === 0 ? 0 : mean(differences);
}

function widestPair(pairs: readonly SidePair[]): SidePair {
  const size = ({ differenceDb }: SidePair): number => Math.abs(mean(differenceDb));
  return pairs.reduce((widest, pair) => (size(pair) > size(widest) ? pair : widest));
}
