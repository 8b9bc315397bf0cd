import type { QualityFinding } from '../series.js';
import type { ImpulseNoise } from './impulseNoise.js';
import type { LocatedImpulse } from './locatedImpulse.js';

/** Where the curves a review rests on are read; noise behind the cabinet changes little. */
const MATTERS_WITHIN_DEG = 60;

/**
 * One finding for all impulse responses whose noise lifts their curves, with the worst as evidence.
 *
 * @param noisy every entry with at least one drowned band
 * @returns undefined for none
 */
export function noiseFinding(
  noisy: readonly { readonly impulse: LocatedImpulse; readonly noise: ImpulseNoise }[],
): QualityFinding | undefined {
  if (noisy.length === 0) return undefined;
  const matters = noisy.filter(({ impulse }) => Math.abs(impulse.angleDeg) <= MATTERS_WITHIN_DEG);
  const [worst] = [...(matters.length > 0 ? matters : noisy)].sort(
    (a, b) => b.noise.drownedHz.length - a.noise.drownedHz.length,
  );
  const { centresHz, levelDb, noiseDb, drownedHz } = worst.noise;
  const file = worst.impulse.source.file;
  const others = noisy.length > 1 ? ` and ${noisy.length - 1} more` : '';
  const from = Math.round(drownedHz[0]);
  const to = Math.round(drownedHz[drownedHz.length - 1]);
  const where = from === to ? `about ${from} Hz` : `between ${from} Hz and ${to} Hz`;
  return {
    severity: matters.length > 0 ? 'check' : 'note',
    code: 'noise-floor',
    message:
      `${file}${others}: ${where} the noise in the recording lifts the curve by 1 dB or more. Measure at a higher level ` +
      "(within the maker's rated input), closer, longer or with more averages.",
    file,
    evidence: {
      title: 'Response and noise in third-octave bands',
      unit: 'dB',
      frequencyHz: centresHz,
      curves: [
        { label: 'response', values: levelDb },
        { label: 'noise', values: noiseDb },
      ],
    },
  };
}
