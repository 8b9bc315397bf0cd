import type { Compression, Distortion, LoudestCleanBand } from '../analysis.js';
import { bandCentresHz } from '../grid/bandCentresHz.js';
import { bandEdgesHz } from '../grid/bandEdgesHz.js';

const BANDS_PER_OCTAVE = 3;
/** Guide lines (common practice, no source). */
const MOST_DISTORTION_PERCENT = 3;
const MOST_COMPRESSION_DB = 1;

/**
 * The loudest clean level per third-octave band: going up through the levels measured, the last before the band
 * compresses by 1 dB (mean over the band) or distorts by 3 % (root mean square over the band).
 *
 * The level compression is referred to counts as free of it. Levels are taken as clean for what was not measured at them.
 *
 * @returns bands in which anything was measured, rising; empty when nothing was
 */
export function loudestClean(
  distortion: readonly Distortion[],
  compression: Compression | undefined,
): LoudestCleanBand[] {
  return bandCentresHz(BANDS_PER_OCTAVE, 20, 20_000).flatMap((centreHz) => {
    const [fromHz, toHz] = bandEdgesHz(centreHz, BANDS_PER_OCTAVE);
    const trials = [
      ...distortion.map(({ levelDb, frequencyHz, thdPercent }) => {
        const thd = mean(within(frequencyHz, thdPercent, fromHz, toHz).map((percent) => percent ** 2));
        return { levelDb, by: 'distortion' as const, excess: Math.sqrt(thd) - MOST_DISTORTION_PERCENT };
      }),
      ...(compression?.levels ?? []).map(({ levelDb, frequencyHz, deviationDb }) => {
        const lost = -mean(within(frequencyHz, deviationDb, fromHz, toHz));
        return { levelDb, by: 'compression' as const, excess: lost - MOST_COMPRESSION_DB };
      }),
    ].filter(({ excess }) => Number.isFinite(excess));
    if (trials.length === 0) return [];
    const reference =
      compression && trials.some(({ by }) => by === 'compression') ? [compression.referenceDb] : [];
    return [{ centreHz, fromHz, toHz, ...verdict(trials, reference) }];
  });
}

interface Trial {
  readonly levelDb: number;
  readonly by: 'compression' | 'distortion';
  /** Over the guide line when not negative. */
  readonly excess: number;
}

function verdict(
  trials: readonly Trial[],
  alsoClean: readonly number[],
): Pick<LoudestCleanBand, 'levelDb' | 'limitedBy' | 'limitedAtDb'> {
  const failed = trials.filter(({ excess }) => excess >= 0).sort((a, b) => a.levelDb - b.levelDb);
  const [first] = failed;
  const clean = [...trials.map(({ levelDb }) => levelDb), ...alsoClean].filter(
    (levelDb) => !first || levelDb < first.levelDb,
  );
  return {
    ...(clean.length > 0 ? { levelDb: Math.max(...clean) } : {}),
    ...(first ? { limitedBy: first.by, limitedAtDb: first.levelDb } : {}),
  };
}

function within(hz: readonly number[], values: readonly number[], from: number, to: number): number[] {
  return values.filter((_, i) => hz[i] >= from && hz[i] < to);
}

function mean(values: readonly number[]): number {
  return values.reduce((sum, value) => sum + value, 0) / values.length;
}
